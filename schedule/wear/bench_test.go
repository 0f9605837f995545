package wear

import (
	"testing"
)

// BenchmarkForecast forecasts a whole household with its twelve tasks, three
// years of past and five years to come, in a thousand worlds.
func BenchmarkForecast(b *testing.B) {
	k := newKitchen(b)
	k.worlds = 1000
	h := k.household()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Forecast(h); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLineWater infers a set of analyses and tabulates its potentials.
func BenchmarkLineWater(b *testing.B) {
	h := newKitchen(b).household()
	s := span{first: today - 1000, today: today, last: today + 2000}
	for b.Loop() {
		if _, err := NewLineWater(h.Draws, nil, h.Equipment[2], nil, h.Tests["tap"], s, newGrid(s, nil)); err != nil {
			b.Fatal(err)
		}
	}
}
