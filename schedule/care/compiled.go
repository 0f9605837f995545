package care

import (
	"bytes"
	"crypto/sha256"
	_ "embed"

	"limekeep/schedule/exact"
)

// compiled is the catalogue as its test wrote it (go test -update), so that a start of
// the program does not read the whole text. It begins with the sum of the text that it was made of: where
// that has changed since, it counts for nothing.
//
//go:embed catalogue.compiled
var compiled []byte

// compiledOf reads the catalogue that was compiled from a text; false where it is of another text, or of
// another make of catalogue.
func compiledOf(compiled, text []byte) (*Catalogue, bool) {
	sum := sha256.Sum256(text)
	data, ok := bytes.CutPrefix(compiled, sum[:])
	if !ok {
		return nil, false
	}
	c := new(Catalogue)
	return c, exact.Read(data, &c) == nil
}
