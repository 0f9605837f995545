package care

import (
	"crypto/sha256"

	"limekeep/schedule/exact"
)

// CompiledOf reads what Compile made of a text.
var CompiledOf = compiledOf

// Compile makes of a catalogue's text what is read quickly.
func Compile(text []byte) ([]byte, error) {
	c, err := Parse(text)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(text)
	return exact.Append(sum[:], c)
}
