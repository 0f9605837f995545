package interview

import (
	"strings"

	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// volumeUnits are the units that a volume may be answered in, in litres.
var volumeUnits = map[string]float64{
	"": 1, "l": 1, "litre": 1, "litres": 1, "liter": 1, "liters": 1, "ml": 0.001,
	"gal": usGallon, "gallon": usGallon, "gallons": usGallon, "us gal": usGallon, "us gallons": usGallon,
	"qt": usGallon / 4, "quart": usGallon / 4, "quarts": usGallon / 4, "oz": usGallon / 128, "fl oz": usGallon / 128,
}

const usGallon = water.LitresPerUSGallon

// mostRatedLitres is what a cartridge may be said to treat, as in a place file.
const mostRatedLitres = 1e6

// volume reads a volume in litres, or with a unit behind it, and returns litres and
// whether the unit is a US customary one.
func volume(id, typed, usual string) (litres float64, us bool, err error) {
	number := strings.TrimRightFunc(typed, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != ',' })
	unit := strings.ToLower(strings.Trim(typed[len(number):], " ."))
	per, known := volumeUnits[unit]
	x, err := figure.Read(number)
	want := "litres, such as " + usual + ", or with a unit, such as 12 oz or 130 gal"
	switch {
	case err != nil:
		return 0, false, record.NotANumber(id, typed, want, err)
	case !known:
		return 0, false, &record.FieldError{Field: id, Value: typed, Want: want}
	}
	return per * x, per != 1 && per != 0.001, nil
}

// litres returns a volume that was answered; false where nobody knew.
func (a Answers) litres(id string) (float64, bool) {
	typed, ok := a.known(id)
	if !ok {
		return 0, false
	}
	x, _, err := volume(id, typed, "")
	return figure.Digits(x, 5), err == nil
}

// units returns in what somebody who answered so has volumes, temperatures and hardness
// told: in US customary measures and grains where one of the answers is in such a unit;
// nothing said where none is.
func (a Answers) units() (units record.Units, hardness water.Unit) {
	for _, id := range []string{"hot", "litres"} {
		if typed, ok := a.known(id); ok {
			if _, us, err := volume(id, typed, ""); err == nil && us {
				units = record.USCustomary
			}
		}
	}
	if typed, ok := a.known("hardness"); ok {
		if m, err := measured(water.Hardness, typed); err == nil && m.Unit == water.GrainPerGallon {
			return record.USCustomary, water.GrainPerGallon
		}
	}
	return units, ""
}
