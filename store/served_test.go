package store

import (
	"context"
	"testing"
)

// The last address holds, for each place by itself.
func TestServedAddress(t *testing.T) { onEach(t, testServedAddress) }

func testServedAddress(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	is := func(place, want string) {
		t.Helper()
		if got, err := db.ServedAddress(ctx, place); err != nil || got != want {
			t.Errorf("%s is served at %q (%v), want %q", place, got, err, want)
		}
	}
	is("bar", "")
	for _, address := range []string{"http://127.0.0.1:8321", "http://127.0.0.1:45678", "http://127.0.0.1:45678"} {
		if err := db.SetServedAddress(ctx, "bar", address); err != nil {
			t.Fatal(err)
		}
		is("bar", address)
	}
	is("kitchen", "")
}
