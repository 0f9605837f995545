package packing

import (
	"bytes"
	"compress/gzip"
	"io"
	"strings"
	"testing"
)

// Tokens become others and those that were the same still are, plain and in a stream that
// the standard library unpacks, checksum and all.
func TestTokensAreRenewed(t *testing.T) {
	words := strings.Repeat("words and words ", 100)
	page := func(a, b string) string {
		return words + `<input name="ticket" value="` + a + `">` + words + `<input name="ticket" value="` + b + `"><input name="ticket" value="` + a + `">` + words
	}
	for _, c := range []struct{ before, after string }{
		{page("ONE", "TWO"), page("1st", "2nd")}, {page("ONE", "ONE"), page("1st", "1st")}, {words, words}, {`<input name="ticket" value="`, `<input name="ticket" value="`}, {"", ""},
	} {
		body, err := NewBody([]byte(c.before), "ticket")
		if err != nil {
			t.Fatal(err)
		}
		draw := func() func() string {
			next := []string{"1st", "2nd"}
			return func() string { token := next[0]; next = next[1:]; return token }
		}
		if got := string(body.Renewed(draw())); got != c.after {
			t.Errorf("%q\nbecame\n%q\nnot\n%q", c.before, got, c.after)
		}
		z, err := gzip.NewReader(bytes.NewReader(body.RenewedPacked(draw())))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(z); err != nil || string(got) != c.after {
			t.Errorf("packed, %q\nbecame\n%q (%v)\nnot\n%q", c.before, got, err, c.after)
		}
	}
}
