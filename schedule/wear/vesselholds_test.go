package wear

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

// A heat exchanger of half a litre cannot hold 705 g of scale: filled to the brim with
// calcite of the usual porosity, 2.71 g/cm³, it would hold 1,016 g, and nothing would
// pass; with half of its flow left it holds less than a third of that.
func TestVesselHoldsNoMoreThanPasses(t *testing.T) {
	hx, err := shapeOf(record.Vessel{Kind: record.HeatExchanger, Litres: 0.5}, record.Home)
	if err != nil {
		t.Fatal(err)
	}
	most := hx.mostGrams()
	if most < 250 || most > 340 {
		t.Errorf("half a litre holds %.0f g at the most, want a little less than a third of 1,016", most)
	}
	was := 0.0
	for grams := 0.5; grams < 1e5; grams *= 1.02 {
		now := held(grams, most)
		switch {
		case now > grams || now > most:
			t.Fatalf("of %.0f g it holds %.0f, the most being %.0f", grams, now, most)
		case now < was:
			t.Fatalf("of %.0f g it holds less than of less", grams)
		case grams < 0.2*most && now < 0.999*grams:
			t.Fatalf("of %.1f g, which is little, it holds only %.1f", grams, now)
		}
		was = now
	}
	if got := held(705, most); got > most {
		t.Errorf("it holds %.0f of 705 g", got)
	}
}

// What has to be laid down for a vessel to hold so much is held turned round, and without
// end where it never holds as much.
func TestFreeTurnsHeldRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.Float64Range(1, 2000).Draw(t, "most")
		grams := most * rapid.Float64Range(1e-6, 20).Draw(t, "share")
		if back := free(held(grams, most), most); math.Abs(back/grams-1) > 1e-6 {
			t.Fatalf("%v g of %v at the most come back as %v", grams, most, back)
		}
	})
	if got := free(10, 10); !math.IsInf(got, 1) {
		t.Errorf("a vessel of 10 g holds all of them once %v lie down", got)
	}
}
