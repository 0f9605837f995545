package locale

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"limekeep/water"
	"limekeep/water/figure"
)

// US customary measures of volume in litres.
const (
	litresPerGallon     = water.LitresPerUSGallon
	litresPerQuart      = litresPerGallon / 4
	litresPerFluidOunce = litresPerGallon / 128
)

// metricUnit is a unit behind a figure of a page, for those who want it in another.
type metricUnit struct {
	text   string // as pages write it behind a figure
	litres float64
	degree bool   // °C
	kelvin bool   // a difference of temperatures
	behind string // a word behind the unit
}

// metricUnits are tried in this order: what another begins with comes after it.
var metricUnits = []metricUnit{
	{text: " litres", litres: 1}, {text: " litre", litres: 1}, {text: " L", litres: 1}, {text: " mL", litres: 0.001}, {text: " ml", litres: 0.001},
	{text: " °C", degree: true}, {text: "\u00a0°C", degree: true}, {text: " K", kelvin: true},
}

// differs are the words behind a temperature that make a difference of it: so much
// hotter is no point on a scale.
var differs = []string{" hotter", " warmer", " colder", " cooler", " higher", " lower", " apart", " too "}

// spoken are amounts in words, each with one that is near enough for what is poured away
// or down a drain. A litre as what something else is counted by, so many grams a litre,
// stays.
var spoken = []struct{ metric, customary string }{
	{"half a litre", "a pint"}, {"half litre", "pint"}, {"first litre", "first quart"}, {"two litres", "two quarts"}, {"another litre", "another quart"},
	{"a litre of hot water", "a quart of hot water"}, {"The litre is gone", "The quart is gone"},
}

// customary writes what a text begins with in US customary measures, and returns how
// long it was; 0 where it begins with nothing of that kind.
func (to Reader) customary(out *bytes.Buffer, text []byte) int {
	if len(text) == 0 {
		return 0
	}
	if c := text[0]; c < '0' || c > '9' {
		for _, s := range spoken {
			if bytes.HasPrefix(text, []byte(s.metric)) && !followed(text[len(s.metric):]) {
				out.WriteString(s.customary)
				return len(s.metric)
			}
		}
		return 0
	}
	figures, seps, n := figuresAt(text)
	if n == 0 {
		return 0
	}
	for _, u := range metricUnits {
		if !bytes.HasPrefix(text[n:], []byte(u.text)) {
			continue
		}
		rest := text[n+len(u.text):]
		if followed(rest) || len(rest) > 0 && rest[0] == '/' {
			continue
		}
		length := n + len(u.text)
		for _, word := range differs {
			if u.degree && bytes.HasPrefix(rest, []byte(word)) {
				u, length = metricUnit{text: u.text, kelvin: true, behind: word}, length+len(word)
				break
			}
		}
		to.told(out, figures, seps, u)
		if u.degree { // what stands in brackets behind a temperature is of something else
			return length
		}
		// Between which two it lies, in the same unit.
		if rest = text[length:]; bytes.HasPrefix(rest, []byte(" (")) {
			if low, sep, n := figuresAt(rest[2:]); len(low) == 2 && bytes.HasPrefix(rest[2+n:], []byte(")")) {
				out.WriteString(" (")
				to.told(out, low, sep, u)
				out.WriteByte(')')
				length += 2 + n + 1
			}
		}
		return length
	}
	return 0
}

// followed reports whether a word goes on.
func followed(rest []byte) bool {
	next, _ := utf8.DecodeRune(rest)
	return len(rest) > 0 && (unicode.IsLetter(next) || unicode.IsDigit(next))
}

// figuresAt reads one figure that a text begins with, or two with a word between, such as
// 0.8 to 1.2; 0 where there is none.
func figuresAt(text []byte) (figures []string, sep string, length int) {
	first := figureAt(text)
	if first == 0 {
		return nil, "", 0
	}
	figures, length = []string{string(text[:first])}, first
	for _, between := range []string{" to ", "–", " or ", " and "} {
		if bytes.HasPrefix(text[first:], []byte(between)) {
			if second := figureAt(text[first+len(between):]); second > 0 {
				return append(figures, string(text[first+len(between):first+len(between)+second])), between, first + len(between) + second
			}
		}
	}
	return figures, "", length
}

// figureAt measures a figure with or without decimals.
func figureAt(text []byte) int {
	digits := 0
	for digits < len(text) && text[digits] >= '0' && text[digits] <= '9' {
		digits++
	}
	if digits == 0 {
		return 0
	}
	if _, all := decimalAt(text); all > 0 {
		return all
	}
	return digits
}

// told writes figures with another unit.
func (to Reader) told(out *bytes.Buffer, figures []string, sep string, u metricUnit) {
	values := make([]float64, len(figures))
	for i, f := range figures {
		values[i], _ = strconv.ParseFloat(f, 64) // digits alone
	}
	unit, turn := " °F", func(i int) string { return degrees(figures[i], 32+1.8*values[i]) }
	switch {
	case u.litres > 0:
		per, name := volumeFor(u.litres * values[len(values)-1])
		unit = " " + name
		turn = func(i int) string { return volume(figures[i], u.litres*values[i]/per) }
		if turn(len(figures)-1) == "1" {
			unit = strings.TrimSuffix(unit, "s")
		}
	case u.kelvin:
		turn = func(i int) string { return degrees(figures[i], 1.8*values[i]) }
	}
	for i := range figures {
		if i > 0 {
			out.WriteString(sep)
		}
		out.WriteString(to.mark(turn(i)))
	}
	out.WriteString(unit + u.behind)
}

// volumeFor returns the measure in which so many litres are told.
func volumeFor(litres float64) (per float64, name string) {
	switch {
	case litres >= 0.98*litresPerGallon:
		return litresPerGallon, "gallons"
	case litres >= 0.98*litresPerQuart:
		return litresPerQuart, "quarts"
	}
	return litresPerFluidOunce, "fl oz"
}

// volume writes a volume to as many digits as the figure it comes of, two at least, and
// three where the first is a 1, or the figure has as many.
func volume(was string, x float64) string {
	digits := max(min(significant(was), 4), 2)
	if lead := strconv.FormatFloat(x, 'e', 1, 64); lead[0] == '1' || len(was) > 2 && !strings.Contains(was, ".") {
		digits = max(digits, 3)
	}
	return figure.Exact(figure.Digits(x, digits))
}

// significant counts the digits of a figure that tell something.
func significant(text string) int {
	trimmed := strings.TrimLeft(strings.Replace(text, ".", "", 1), "0")
	if !strings.Contains(text, ".") {
		trimmed = strings.TrimRight(trimmed, "0")
	}
	return len(trimmed)
}

// degrees writes a temperature with the decimals of the figure it comes of, one at most.
func degrees(was string, x float64) string {
	decimals := 0
	if i := strings.IndexByte(was, '.'); i >= 0 {
		decimals = min(len(was)-i-1, 1)
	}
	return figure.AtMost(math.Round(x*10)/10, decimals)
}

// mark writes a figure with the reader's mark of decimals.
func (to Reader) mark(text string) string {
	if to.Comma {
		return strings.Replace(text, ".", ",", 1)
	}
	return text
}

// What an element says that holds figures without their unit, as in a column of a table.
const (
	inLitres = ` data-in="litres"`
	inKelvin = ` data-in="K"`
)

// bare is an element whose figures stand without their unit.
type bare struct {
	element string  // its name; empty for none
	times   float64 // what its figures are told as
	word    string  // at its head
	told    string
}

// bareIn returns what a tag opens of that kind.
func bareIn(tag []byte) bare {
	switch {
	case bytes.Contains(tag, []byte(inLitres)):
		return bare{elementOf(tag), 1 / litresPerGallon, "Litres", "Gallons"}
	case bytes.Contains(tag, []byte(inKelvin)):
		return bare{elementOf(tag), 1.8, ", K", ", °F"}
	}
	return bare{}
}

// rewrite writes a text of such an element.
func (b bare) rewrite(to Reader, out *bytes.Buffer, text []byte) {
	for i := 0; i < len(text); {
		n := figureAt(text[i:])
		switch {
		case n > 0 && !inWord(text[:i]):
			x, _ := strconv.ParseFloat(string(text[i:i+n]), 64) // digits alone
			out.WriteString(to.mark(volume(string(text[i:i+n]), x*b.times)))
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
