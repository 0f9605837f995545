// Package customary turns sentences into the measures that an owner thinks in: US gallons
// and °F in place of litres and °C, and another unit of hardness than mg/L as CaCO3. All
// rooms write litres and °C; the doors and the calendar turn what they show, once, so that
// no room below has to know who reads it. What is for programs stays as it is.
package customary

import (
	"strings"

	"limekeep/schedule/record"
	"limekeep/water"
)

// Units is in what an owner has quantities told; the zero value is as they are written: in
// litres, °C and mg/L as CaCO3.
type Units struct {
	US       bool       // volumes and temperatures in US customary measures
	Hardness water.Unit // of hardness and alkalinity; empty for mg/L as CaCO3
}

// For returns in what the owner of a place has quantities told.
func For(p record.Place) Units { return In(p.Units, p.HardnessUnit) }

// In returns the same by what the owner chose; either may be empty.
func In(units record.Units, hardness water.Unit) Units {
	to := Units{US: units == record.USCustomary}
	if hardness != water.MgPerLCaCO3 {
		to.Hardness = hardness
	}
	return to
}

// asWritten reports whether nothing is turned.
func (to Units) asWritten() bool { return to == Units{} }

// String names the units for a fingerprint; empty where nothing is turned.
func (to Units) String() string {
	if to.asWritten() {
		return ""
	}
	units := record.Metric
	if to.US {
		units = record.USCustomary
	}
	return string(units) + " " + string(to.Hardness)
}

// HardnessOf returns a hardness or alkalinity in mg/L as CaCO3 as the owner has it, and in
// what unit.
func (to Units) HardnessOf(mgPerL float64) (float64, water.Unit) {
	per := to.perMgPerL()
	if per == 1 {
		return mgPerL, water.MgPerLCaCO3
	}
	return per * mgPerL, to.Hardness
}

// perMgPerL returns how many of the owner's unit of hardness a milligram of CaCO3 a litre
// is; 1 where it is told as it is written.
func (to Units) perMgPerL() float64 {
	if to.Hardness == "" {
		return 1
	}
	per, err := water.Hardness.Convert(1, water.MgPerLCaCO3, to.Hardness)
	if err != nil {
		return 1
	}
	return per
}

// Text turns the measures of a text into the owner's.
func (to Units) Text(text string) string {
	if to.asWritten() {
		return text
	}
	var out strings.Builder
	all := []byte(text)
	for i := 0; i < len(all); {
		if told, n := to.At(all, i); n > 0 {
			out.WriteString(told)
			i += n
			continue
		}
		out.WriteByte(all[i])
		i++
	}
	return out.String()
}

// All turns the measures of several texts.
func (to Units) All(texts []string) []string {
	if to.asWritten() {
		return texts
	}
	told := make([]string, len(texts))
	for i, text := range texts {
		told[i] = to.Text(text)
	}
	return told
}
