package wear

import (
	"context"
	"testing"

	"limekeep/schedule/record"
)

// loggedKitchen has all tasks, three vessels and five years of daily records.
func loggedKitchen(b *testing.B) *kitchen {
	k := newKitchen(b)
	k.worlds = 500 // as a forecast draws them: TestErrorOfChanceByWorlds
	k.machine().Vessels = append(k.machine().Vessels, record.Vessel{ID: "preheater", Kind: record.HeatExchanger, Material: record.Copper})
	for i := range k.equipment {
		k.equipment[i].Bought = today.AddMonths(-60)
	}
	k.logged(int(today-today.AddMonths(-60)), 4)
	return k
}

// BenchmarkForecast forecasts a whole household with all its tasks: three
// vessels, five years of daily records and five years to come, in five hundred
// worlds. The water test was worked out before, as in a program that runs on; all else
// is worked out each time.
func BenchmarkForecast(b *testing.B) {
	h := loggedKitchen(b).household()
	b.ReportAllocs()
	for b.Loop() {
		h.Memory.keep(unchanged{})
		if _, err := Forecast(context.Background(), h); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLineWater infers a set of analyses and tabulates its potentials.
func BenchmarkLineWater(b *testing.B) {
	h := newKitchen(b).household()
	s := span{first: today - 1000, today: today, last: today + 2000}
	for b.Loop() {
		if _, err := newLineWater(h.Draws, earlier{}, h.Equipment[2], nil, h.Tests["tap"], s, newGrid(s, nil)); err != nil {
			b.Fatal(err)
		}
	}
}
