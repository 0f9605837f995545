package form

import (
	"cmp"
	"math"
	"strings"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// Measure is the unit in which records hold what a field takes, where an owner may want
// it in another. A label ends with it, behind a comma, without a "few-" before it.
type Measure string

// Measures that an owner may want otherwise.
const (
	Litres       Measure = "litres"     // of cartridges and meters
	FewLitres    Measure = "few-litres" // of vessels and drinks
	Celsius      Measure = "°C"
	GermanDegree Measure = "°dH" // of hardness
)

// told is a measure as an owner has it: so many times what records hold, and an offset.
type told struct {
	unit           string
	factor, offset float64
	kept           float64 // what records hold
	shown          string  // how that was shown; empty for nothing
}

// TellFor turns what the form asks for, and what it is filled in with, into the measures of
// a place's owner. Number gives what was typed in those of the records again.
func (s *Form) TellFor(p record.Place) { TellFor(s.Fields, p) }

// TellFor is Form.TellFor for fields that are in no form yet.
func TellFor(fields []Field, p record.Place) {
	inputsOf(fields, func(f *Field) bool {
		if as, ok := f.Measure.toldTo(p); ok {
			f.tell(as)
		}
		return true
	})
}

// toldTo returns how an owner has a measure; false where it is as records have it.
func (m Measure) toldTo(p record.Place) (told, bool) {
	us := p.Units == record.USCustomary
	switch {
	case m == Litres && us:
		return told{unit: wording.USGallons, factor: 1 / water.LitresPerUSGallon}, true
	case m == FewLitres && us:
		return told{unit: wording.USFluidOunces, factor: 128 / water.LitresPerUSGallon}, true
	case m == Celsius && us:
		return told{unit: "°F", factor: 1.8, offset: 32}, true
	case m == GermanDegree && p.HardnessUnit != "" && p.HardnessUnit != water.GermanDegree:
		x, err := water.Hardness.Convert(1, water.GermanDegree, p.HardnessUnit)
		return told{unit: string(p.HardnessUnit), factor: x}, err == nil
	}
	return told{}, false
}

// tell puts a field into a measure.
func (f *Field) tell(as told) {
	word := strings.TrimPrefix(string(f.Measure), "few-")
	f.Label = strings.TrimSuffix(f.Label, ", "+word) + ", " + as.unit
	if f.Example != "" {
		if x, err := figure.Read(f.Example); err == nil {
			f.Example = as.write(x)
		}
	}
	if x, err := figure.Read(f.Value); err == nil && f.Value != "" {
		as.kept, as.shown = x, as.write(x)
		f.Value = as.shown
	}
	f.told = &as
}

// fourDigits are enough for all that is typed, and few enough to be read.
const fourDigits = 4

func (as told) write(x float64) string {
	return figure.Exact(figure.Digits(as.factor*x+as.offset, fourDigits))
}

// canonical returns a figure that was typed into a field in the unit of the records. What
// was left as it was shown stays what it was, to the last digit.
func (f *Field) canonical(x float64) float64 {
	if f.told == nil {
		return x
	}
	if f.told.shown != "" && strings.TrimSpace(f.Value) == f.told.shown {
		return f.told.kept
	}
	y := (x - f.told.offset) / f.told.factor
	if f.Measure == Celsius {
		return math.Round(y*100) / 100
	}
	return figure.Digits(y, fourDigits+1)
}

// typed is what stands in a field as its owner has it, for an error about it.
func (f *Field) typed(value string) string {
	if f.told == nil {
		return value
	}
	return cmp.Or(strings.TrimSpace(f.Value), value)
}
