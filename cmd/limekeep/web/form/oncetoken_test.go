package form

import (
	"net/http"
	"net/http/httptest"
	"testing"
)

func TestOnceTokensForgetTheOldest(t *testing.T) {
	tokens := NewOnceTokens(nil)
	writes := int64(0)
	use := func(token string) int64 {
		record, err := tokens.Once(httptest.NewRequest(http.MethodPost, "/", nil), token, func() (int64, error) { writes++; return writes, nil })
		if err != nil {
			t.Fatal(err)
		}
		return record
	}
	first := tokens.Draw()
	if a, b := use(first), use(first); a != b {
		t.Errorf("one token wrote records %d and %d", a, b)
	}
	if a, b := use(""), use(""); a == b {
		t.Error("forms without a token are taken as one")
	}
	for range mostTokens {
		use(tokens.Draw())
	}
	before := writes
	if use(first); writes != before+1 {
		t.Error("a token is remembered for ever")
	}
	if len(tokens.taken) != mostTokens {
		t.Errorf("%d tokens are remembered, not %d", len(tokens.taken), mostTokens)
	}
}
