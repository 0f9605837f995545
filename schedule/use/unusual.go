package use

import (
	"fmt"

	"limekeep/schedule/record"
)

// Oddity is something in a row of use that hardly can be meant.
type Oddity struct {
	Sort  OddSort
	Field string // as record.UseRow.Validate names it
	What  string // what stands there and why it is odd
}

// OddSort is a sort of oddity.
type OddSort int

// What can be odd.
const (
	MuchHotWater OddSort = iota
	LittleHotWater
	OddDose
	OddYield
	Swapped
	OddSeconds
	ManyShots
	SameMinute
)

// String names the sort.
func (s OddSort) String() string {
	return [...]string{"much hot water", "little hot water", "dose", "yield", "swapped", "seconds", "many shots", "same minute"}[s]
}

// What rows of use usually hold. Baskets take 6 to 25 g, and a shot runs for 15
// to 60 s into a cup of 15 to 120 g (common practice); the bounds lie outside of
// that, so that whatever passes them is more likely another unit or another
// column (assumption).
const (
	LeastDoseGrams  = 5.0 // of a shot
	mostDoseGrams   = 30.0
	LeastYieldGrams = 8.0 // of a shot
	mostYieldGrams  = 200.0
	leastRatio      = 0.7 // g of drink to a g of coffee
	leastSeconds    = 4.0
	mostSeconds     = 150.0
	leastHotWater   = 0.005 // litres
	// Shots and litres of one row. Bars write down sums of a day as well.
	mostHotWater    = 2.5
	mostBarHotWater = 60.0 // of a row of manyShots and more
	manyShots       = 20.0
	mostHomeShots   = 40.0
	mostBarShots    = 1500.0
	// Rows that one group can bring in the same minute.
	mostInMinute = 2
)

// Unusual lists what is odd about a row of use of a machine: amounts that such
// places do not see, a dose and a yield that look swapped, and more rows in one
// minute than its groups can pull. A row in order has none.
func Unusual(row record.UseRow, machine record.Machine) []Oddity {
	var odd []Oddity
	add := func(sort OddSort, field, format string, args ...any) {
		odd = append(odd, Oddity{sort, field, fmt.Sprintf(format, args...)})
	}
	place, hotWater, shots := "at home", mostHotWater, mostHomeShots
	if machine.Setting == record.Bar {
		place, shots = "in a bar", mostBarShots
		if row.Shots >= manyShots {
			hotWater = mostBarHotWater
		}
	}
	if row.HotWaterLitres > hotWater {
		add(MuchHotWater, "hot_water_l", "%g litres in one row are unusual %s", row.HotWaterLitres, place)
	}
	if row.HotWaterLitres > 0 && row.HotWaterLitres < leastHotWater {
		add(LittleHotWater, "hot_water_l", "%g litres are less than a sip", row.HotWaterLitres)
	}
	thin := row.DoseGrams > 0 && row.YieldGrams > 0 && row.YieldGrams < leastRatio*row.DoseGrams
	switch {
	case thin && row.YieldGrams >= LeastDoseGrams && row.YieldGrams <= mostDoseGrams:
		add(Swapped, "dose_g", "%g g of coffee and %g g in the cup look swapped", row.DoseGrams, row.YieldGrams)
	case row.DoseGrams > 0 && (row.DoseGrams < LeastDoseGrams || row.DoseGrams > mostDoseGrams):
		add(OddDose, "dose_g", "%g g of coffee are unusual for a shot", row.DoseGrams)
	case thin, row.YieldGrams > 0 && (row.YieldGrams < LeastYieldGrams || row.YieldGrams > mostYieldGrams):
		add(OddYield, "yield_g", "%g g in the cup are unusual for a shot", row.YieldGrams)
	}
	if row.Seconds > 0 && (row.Seconds < leastSeconds || row.Seconds > mostSeconds) {
		add(OddSeconds, "seconds", "%g seconds are unusual for a shot", row.Seconds)
	}
	if row.Shots > shots {
		add(ManyShots, "shots", "%g shots in one row are unusual %s", row.Shots, place)
	}
	if most := mostInMinute * max(len(machine.Groups), 1); row.Minute >= 0 && row.Ordinal >= most {
		add(SameMinute, "time", "%s %02d:%02d stands here %d times, more shots than the machine pulls in a minute: rows copied twice, or times that are not the shots'",
			row.Date, row.Minute/60, row.Minute%60, row.Ordinal+1)
	}
	return odd
}
