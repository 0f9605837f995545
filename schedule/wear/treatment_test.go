package wear

import (
	"context"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// laidDown gives the mg a litre can lay down in the middle world in the brew
// and the steam boiler behind a treatment that is new today.
func laidDown(t *testing.T, supply record.Supply, stages ...record.Treatment) (brew, steam float64) {
	t.Helper()
	k := newKitchen(t)
	for i := range stages {
		stages[i].ID, stages[i].Fitted = "stage", today
		if stages[i].Kind.Exchanges() {
			stages[i].RatedLitres, stages[i].RatedDegrees = 5000, 10
		}
	}
	k.equipment[2].Line = &record.WaterLine{Supply: supply, Treatment: stages}
	for i := range k.equipment {
		k.equipment[i].Bought = today - 1
	}
	k.entries[0].Effective = today - 1
	o := k.forecast(t)
	return o["machine/descale/brew"].Scale.MgPerLitre.Likely, o["machine/descale/steam"].Scale.MgPerLitre.Likely
}

// Treatments rank as the trade knows: nothing behind a fresh softener, little
// behind a membrane or a decarboniser, about half at half a bypass, and more
// from a tank, whose water lost CO2 to the room before it was heated.
func TestTreatmentsRankAsTheTradeKnows(t *testing.T) {
	rawBrew, rawSteam := laidDown(t, record.Mains)
	softBrew, softSteam := laidDown(t, record.Mains, record.Treatment{Kind: record.Softener})
	decarbBrew, decarbSteam := laidDown(t, record.Mains, record.Treatment{Kind: record.Decarboniser})
	osmosisBrew, osmosisSteam := laidDown(t, record.Mains, record.Treatment{Kind: record.ReverseOsmosis, BypassShare: 0.1})
	_, halfSteam := laidDown(t, record.Mains, record.Treatment{Kind: record.Softener, BypassShare: 0.5})
	tankBrew, _ := laidDown(t, record.Tank)
	if softBrew > 0.02*rawBrew || softSteam > 0.02*rawSteam {
		t.Errorf("behind a fresh softener %.1f and %.1f mg/L, raw %.1f and %.1f", softBrew, softSteam, rawBrew, rawSteam)
	}
	if decarbBrew >= rawBrew/2 || decarbSteam >= rawSteam/2 {
		t.Errorf("behind a decarboniser %.1f and %.1f mg/L, raw %.1f and %.1f", decarbBrew, decarbSteam, rawBrew, rawSteam)
	}
	if osmosisBrew >= rawBrew/4 || osmosisSteam >= rawSteam/4 {
		t.Errorf("behind a membrane %.1f and %.1f mg/L, raw %.1f and %.1f", osmosisBrew, osmosisSteam, rawBrew, rawSteam)
	}
	if share := halfSteam / rawSteam; share < 0.35 || share > 0.75 {
		t.Errorf("half a bypass lays down %.2f of the raw water's scale, want about half", share)
	}
	if tankBrew <= rawBrew {
		t.Errorf("from a tank %.1f mg/L, from the mains %.1f", tankBrew, rawBrew)
	}
}

// A test behind a fresh softener with half a bypass says as much of what
// reaches the machine as a test before it of twice the hardness.
func TestSampleBehindTheCartridge(t *testing.T) {
	deposit := func(test record.WaterTest) Outcome {
		k := newKitchen(t)
		fitCartridge(k, 0.5)
		k.entries[0].Body = test
		return k.forecast(t)["machine/descale/steam"]
	}
	before := deposit(hardWater(16, 10))
	behind := hardWater(8, 10)
	behind.After = "softener"
	after := deposit(behind)
	a, b := before.Scale.MgPerLitre.Likely, after.Scale.MgPerLitre.Likely
	if a/b < 0.85 || a/b > 1.18 {
		t.Errorf("by the test before %.0f mg/L, by the one behind %.0f", a, b)
	}
	raw := deposit(hardWater(8, 10))
	if raw.Scale.MgPerLitre.Likely >= 0.8*b {
		t.Errorf("taken for the supply the sample gives %.0f mg/L, taken for what it is %.0f", raw.Scale.MgPerLitre.Likely, b)
	}
}

// A change of treatment in the middle counts from its own day: what lay down
// before it stays, what lies down after it is the new water's.
func TestChangeOfTreatmentMidHistory(t *testing.T) {
	grams := func(versions ...record.Dated[record.Equipment]) float64 {
		k := newKitchen(t)
		h := k.household()
		h.Lines = map[string][]record.Dated[record.Equipment]{"tap": versions}
		if n := len(versions); n > 0 {
			h.Equipment[2] = versions[n-1].Body
		}
		outcomes, err := Forecast(context.Background(), h)
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range outcomes {
			if o.Duty.ID == "machine/descale/steam" {
				return o.Scale.Grams.Likely
			}
		}
		t.Fatal("no steam boiler")
		return 0
	}
	version := func(on record.Date, stages ...record.Treatment) record.Dated[record.Equipment] {
		return record.Dated[record.Equipment]{On: on, Body: record.Equipment{ID: "tap", Bought: newKitchen(t).equipment[2].Bought,
			Line: &record.WaterLine{Supply: record.Mains, Treatment: stages}}}
	}
	bought := newKitchen(t).equipment[2].Bought
	softener := record.Treatment{ID: "softener", Kind: record.Softener, RatedLitres: 50000, RatedDegrees: 10}
	raw := grams(version(bought))
	soft := grams(version(bought, softener))
	halfway := bought + (today-bought)/2
	fitted := softener
	fitted.Fitted = halfway
	changed := grams(version(bought), version(halfway, fitted))
	if soft > 0.05*raw {
		t.Errorf("softened from the start %.2f g, raw %.2f g", soft, raw)
	}
	if changed < 0.35*raw || changed > 0.65*raw {
		t.Errorf("softened from half way on %.2f g, raw %.2f g: want about half", changed, raw)
	}
}

// The load of a mixed exchanger on sums of days is that of water.Cartridge on
// the water itself.
func TestExchangeStepAgreesWithCartridge(t *testing.T) {
	totals := water.Totals{Calcium: 0.0018, Magnesium: 0.0006, Sodium: 0.001, Alkalinity: 0.0032, Carbon: 0.0034, Chloride: 0.0015}
	for _, kind := range []record.TreatmentKind{record.Softener, record.Decarboniser, record.Mixed} {
		stage := record.Treatment{Kind: kind, RatedLitres: 900, RatedDegrees: 8, BypassShare: 0.2}
		if kind == record.Mixed {
			stage.Hydrogen = 0.4
		}
		const litres = 37.0
		hardness, alkalinity := 2000*(totals.Calcium+totals.Magnesium), 1000*totals.Alkalinity
		got := care.Exchanged(stage)(care.Exposure{Litres: litres, HardnessMeq: litres * hardness, CarbonMeq: litres * min(hardness, alkalinity)})
		want := stage.Cartridge().Used(totals, litres)
		if got < want*(1-1e-12) || got > want*(1+1e-12) {
			t.Errorf("%s: %v of the capacity, want %v", kind, got, want)
		}
	}
}

// A vessel whose size its owner does not know is forecast with more spread than
// one whose figures are given, about the same middle.
func TestIgnoranceOfSizeSpreads(t *testing.T) {
	thickness := func(watts float64) figure.Percentiles {
		k := newKitchen(t)
		k.machine().Vessels[0].Watts = watts
		return k.forecast(t)["machine/descale/brew"].Scale.MM
	}
	guessed, known := thickness(0), thickness(usualVessels[record.BrewBoiler][record.Home].watts)
	if guessed.High/guessed.Low <= 1.03*known.High/known.Low {
		t.Errorf("unknown %v is no wider than known %v", guessed, known)
	}
	if ratio := guessed.Likely / known.Likely; ratio < 0.85 || ratio > 1.15 {
		t.Errorf("unknown %v, known %v: the middles lie far apart", guessed, known)
	}
}
