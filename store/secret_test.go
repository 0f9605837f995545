package store

import (
	"context"
	"testing"
)

// A place keeps its secret until it is replaced, and shares it with no other.
func TestSecret(t *testing.T) { onEach(t, testSecret) }

func testSecret(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	secret := func(place string) string {
		s, err := db.Secret(ctx, place)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	first := secret("bar")
	if len(first) < 20 {
		t.Errorf("the secret %q can be guessed", first)
	}
	if again := secret("bar"); again != first {
		t.Errorf("asked again the secret is %q, was %q", again, first)
	}
	if other := secret("kitchen"); other == first {
		t.Error("two places share a secret")
	}
	replaced, err := db.ReplaceSecret(ctx, "bar")
	if err != nil {
		t.Fatal(err)
	}
	if replaced == first || secret("bar") != replaced {
		t.Errorf("replaced %q by %q, and it is %q", first, replaced, secret("bar"))
	}
}
