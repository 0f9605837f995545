package use

import (
	"math"
	"testing"
	"time"

	"limekeep/schedule/record"
)

// By hand: a kilogram from 1 to 20 February and half a one up to 2 March are 1.5 kg in 30
// days. A bag of which nobody says when it was opened, and one of two years ago, say
// nothing.
func TestGroundPerDay(t *testing.T) {
	bag := func(opened, on record.Date, grams float64) record.Dated[record.Bag] {
		return record.Dated[record.Bag]{On: on, Body: record.Bag{Grinder: "grinder", Grams: grams, Opened: opened}}
	}
	day := func(month time.Month, of int) record.Date { return record.NewDate(2026, month, of) }
	old := bag(record.NewDate(2024, 1, 1), record.NewDate(2024, 2, 1), 5000)
	bags := []record.Dated[record.Bag]{old, bag(day(time.February, 1), day(time.February, 20), 1000), bag(0, day(time.March, 2), 500)}
	if got := GroundPerDay(bags, day(time.March, 10)); math.Abs(got-0.05) > 1e-9 {
		t.Errorf("%v kg a day, want 0.05", got)
	}
	if got := GroundPerDay([]record.Dated[record.Bag]{bag(0, day(time.March, 2), 500)}, day(time.March, 10)); got != 0 {
		t.Errorf("%v kg a day of a bag that nobody says when it was opened", got)
	}
	if got := GroundPerDay(nil, day(time.March, 10)); got != 0 {
		t.Errorf("%v kg a day of no bags", got)
	}
}
