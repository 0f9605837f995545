package customary

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

// metricUnit is a unit behind a figure, for those who want it in another.
type metricUnit struct {
	text   string // as it is written behind a figure
	litres float64
	degree bool   // °C
	kelvin bool   // a difference of temperatures
	hard   bool   // hardness or alkalinity, mg/L as CaCO3
	behind string // a word behind the unit
}

// metricUnits are tried in this order: what another begins with comes after it.
var metricUnits = []metricUnit{
	{text: " litres", litres: 1}, {text: " litre", litres: 1}, {text: " L", litres: 1}, {text: " mL", litres: 0.001}, {text: " ml", litres: 0.001},
	{text: " °C", degree: true}, {text: "\u00a0°C", degree: true}, {text: " K", kelvin: true},
	{text: " mg/L CaCO3", hard: true}, {text: " mg/L as CaCO3", hard: true}, {text: " mg/L CaCO₃", hard: true}, {text: " mg/L as CaCO₃", hard: true},
}

// wanted reports whether an owner has a unit told in another.
func (u metricUnit) wanted(to Units) bool {
	if u.hard {
		return to.perMgPerL() != 1
	}
	return to.US
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

// At returns what an owner has told in place of the measure that a text holds from its
// i-th byte on, and how long that was; 0 where none begins there, or one that stays.
func (to Units) At(all []byte, i int) (told string, length int) {
	if to.asWritten() || i >= len(all) || figure.EndsInWord(all[:i]) || i > 0 && all[i-1] == '.' {
		return "", 0
	}
	text, beside := all[i:], i > 0 && all[i-1] == '('
	if c := text[0]; c < '0' || c > '9' {
		return to.spoken(text)
	}
	figures, sep, n := figuresAt(text)
	if n == 0 {
		return "", 0
	}
	within, rest := betweenAt(text[n:]) // between which two it lies
	for _, u := range metricUnits {
		behind := text[n+rest:]
		if !bytes.HasPrefix(behind, []byte(u.text)) || !u.wanted(to) || u.hard && beside { // it stands beside the owner's own
			continue
		}
		behind = behind[len(u.text):]
		if followed(behind) || len(behind) > 0 && behind[0] == '/' {
			continue
		}
		length = n + rest + len(u.text)
		for _, word := range differs {
			if u.degree && bytes.HasPrefix(behind, []byte(word)) {
				u, length = metricUnit{text: u.text, kelvin: true, behind: word}, length+len(word)
				break
			}
		}
		told = to.tell(figures, sep, u)
		if rest == 0 && !u.degree { // what stands in brackets behind a temperature is of something else
			if within, rest = betweenAt(text[length:]); rest > 0 {
				length += rest
			}
		}
		if within != nil {
			told += " (" + to.tell(within, " to ", u) + ")"
		}
		return told, length
	}
	return "", 0
}

// Speaks reports whether an amount in words may begin with a letter.
func (to Units) Speaks(letter byte) bool {
	return to.US && strings.IndexByte("afhtT", letter) >= 0
}

// spoken returns what is said in place of an amount in words that a text begins with.
func (to Units) spoken(text []byte) (string, int) {
	for _, s := range spoken {
		if to.US && bytes.HasPrefix(text, []byte(s.metric)) && !followed(text[len(s.metric):]) {
			return s.customary, len(s.metric)
		}
	}
	return "", 0
}

// betweenAt reads the two figures in brackets that a text begins with, behind a space.
func betweenAt(text []byte) (figures []string, length int) {
	if !bytes.HasPrefix(text, []byte(" (")) {
		return nil, 0
	}
	figures, _, n := figuresAt(text[2:])
	if len(figures) != 2 || !bytes.HasPrefix(text[2+n:], []byte(")")) {
		return nil, 0
	}
	return figures, 2 + n + 1
}

// followed reports whether a word goes on.
func followed(rest []byte) bool {
	next, _ := utf8.DecodeRune(rest)
	return len(rest) > 0 && (unicode.IsLetter(next) || unicode.IsDigit(next))
}

// figuresAt reads one figure that a text begins with, two with a word between, such as
// 0.8 to 1.2, or several that are parted by strokes; 0 where there is none.
func figuresAt(text []byte) (figures []string, sep string, length int) {
	first := figure.At(text)
	if first == 0 {
		return nil, "", 0
	}
	figures, length = []string{string(text[:first])}, first
	for _, between := range []string{" to ", "–", " or ", " and ", " / "} {
		for bytes.HasPrefix(text[length:], []byte(between)) {
			n := figure.At(text[length+len(between):])
			if n == 0 {
				break
			}
			length += len(between)
			figures, sep = append(figures, string(text[length:length+n])), between
			length += n
		}
		if sep != "" {
			break
		}
	}
	return figures, sep, length
}

// tell writes figures with another unit.
func (to Units) tell(figures []string, sep string, u metricUnit) string {
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
	case u.hard:
		unit = " " + string(to.Hardness)
		turn = func(i int) string { return figure.Rough(to.perMgPerL() * values[i]) }
	}
	var out strings.Builder
	for i := range figures {
		if i > 0 {
			out.WriteString(sep)
		}
		out.WriteString(turn(i))
	}
	return out.String() + unit + u.behind
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

// Gallons writes a figure of litres that stands without its unit, as in a column, in US
// gallons. It is to be read as it was: digits with a decimal point or none.
func Gallons(was string) string { return bare(was, 1/litresPerGallon) }

// Fahrenheit writes a difference in kelvin that stands without its unit in °F.
func Fahrenheit(was string) string { return bare(was, 1.8) }

func bare(was string, times float64) string {
	x, err := strconv.ParseFloat(was, 64)
	if err != nil {
		return was
	}
	return volume(was, x*times)
}
