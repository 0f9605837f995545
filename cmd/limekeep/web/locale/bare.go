package locale

import (
	"bytes"

	"limekeep/schedule/say/customary"
	"limekeep/water/figure"
)

// What an element says that holds figures without their unit, as in a column of a table.
const (
	inLitres = ` data-in="litres"`
	inKelvin = ` data-in="K"`
)

// bare is an element whose figures stand without their unit.
type bare struct {
	element string              // its name; empty for none
	tell    func(string) string // a figure
	word    string              // at its head
	told    string
}

// bareIn returns what a tag opens of that kind.
func bareIn(tag []byte) bare {
	switch {
	case bytes.Contains(tag, []byte(inLitres)):
		return bare{elementOf(tag), customary.Gallons, "Litres", "Gallons"}
	case bytes.Contains(tag, []byte(inKelvin)):
		return bare{elementOf(tag), customary.Fahrenheit, ", K", ", °F"}
	}
	return bare{}
}

// rewrite writes a text of such an element.
func (b bare) rewrite(to Reader, out *bytes.Buffer, text []byte) {
	for i := 0; i < len(text); {
		n := figure.At(text[i:])
		switch {
		case n > 0 && !figure.EndsInWord(text[:i]):
			out.WriteString(to.mark(b.tell(string(text[i : i+n]))))
			i += n
		case bytes.HasPrefix(text[i:], []byte(b.word)):
			out.WriteString(b.told)
			i += len(b.word)
		default:
			out.WriteByte(text[i])
			i++
		}
	}
}
