package wear

import (
	"math"
	"testing"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Hand-worked balance of a salt that stays. A boiler of 1 kg from which 0.1 kg
// leaves a day as steam and 0.1 kg as hot water, its steam 2 % wet, settles at
// (0.1+0.1)/(0.1+0.002) = 1.961 times its feed; on the way there the gap shrinks
// by exp(-0.102) a day. Small steps must come to the same as one run.
func TestConcentrationByHand(t *testing.T) {
	b := &steamWater{waterKg: []float64{1}}
	rest := 0.2 / 0.102
	if got, want := b.concentrate(0, 1, 0.1, 0.1), rest-(rest-1)*math.Exp(-0.102); math.Abs(got-want) > 1e-12 {
		t.Errorf("after a day %v, want %v", got, want)
	}
	n := 1.0
	for range 400 {
		n = b.concentrate(0, n, 0.1, 0.1)
	}
	if math.Abs(n-rest) > 1e-9 {
		t.Errorf("after 400 days %v, want %v", n, rest)
	}
	whole, parts := b.concentrate(0, 1, 7*0.1, 7*0.1), 1.0
	for range 7 {
		parts = b.concentrate(0, parts, 0.1, 0.1)
	}
	if math.Abs(whole-parts) > 1e-12 {
		t.Errorf("a week at once gives %v, day by day %v", whole, parts)
	}
}

// Refreshing a steam boiler's water holds its salts down and puts off the next
// refreshing, and hot water drawn thins it as well.
func TestRefreshingThins(t *testing.T) {
	const task = "machine/steam-refresh/steam"
	chloride := func(change func(*kitchen)) float64 {
		k := newKitchen(t)
		change(k)
		return k.forecast(t)[task].Gauges[0].Amount.Likely
	}
	never := chloride(func(*kitchen) {})
	refreshed := chloride(func(k *kitchen) { k.served(20, record.Service{Task: task}) })
	half := chloride(func(k *kitchen) { k.served(20, record.Service{Task: task, Left: 0.5}) })
	descaled := chloride(func(k *kitchen) { k.served(20, record.Service{Task: "machine/descale/steam"}) })
	drawing := chloride(func(k *kitchen) { k.machine().Habit.HotWaterLitres = new(0.5) })
	if !(refreshed < half && half < never) {
		t.Errorf("chloride %.0f refreshed, %.0f half refreshed, %.0f never: must rise", refreshed, half, never)
	}
	if math.Abs(descaled-refreshed) > 1e-9 {
		t.Errorf("chloride %.1f descaled, %.1f refreshed: to descale is to refresh", descaled, refreshed)
	}
	if drawing >= never/2 {
		t.Errorf("chloride %.0f with half a litre drawn a day, %.0f without", drawing, never)
	}
}

// A boiler refreshed often scales a little more than one left alone, since more
// is fed; what it saves is salts.
func TestDrainingCostsScaleAndSavesChloride(t *testing.T) {
	d := newKitchen(t).forecast(t)["machine/descale/steam"].Scale.Drains
	if d == nil {
		t.Fatal("nothing is said of draining")
	}
	if d.ChlorideWithMgPerL >= d.ChlorideWithoutMgPerL {
		t.Errorf("chloride %.0f drained, %.0f not", d.ChlorideWithMgPerL, d.ChlorideWithoutMgPerL)
	}
	if d.ScaleWithGrams <= d.ScaleWithoutGrams {
		t.Errorf("scale %.2f g drained, %.2f g not", d.ScaleWithGrams, d.ScaleWithoutGrams)
	}
}

// A steam boiler whose size its owner does not know gathers its salts with more
// spread than one of known size.
func TestIgnoranceOfVolumeSpreadsSalts(t *testing.T) {
	solids := func(litres float64) figure.Percentiles {
		k := newKitchen(t)
		k.machine().Vessels[1].Litres = litres
		k.served(60, record.Service{Task: "machine/steam-refresh/steam"})
		return k.forecast(t)["machine/steam-refresh/steam"].Gauges[2].Amount
	}
	guessed, known := solids(0), solids(usualVessels[record.SteamBoiler][record.Home].litres)
	if guessed.High/guessed.Low <= 1.05*known.High/known.Low {
		t.Errorf("unknown %v is no wider than known %v", guessed, known)
	}
}
