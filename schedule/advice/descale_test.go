package advice

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/descaling"
	"limekeep/water/figure"
)

// points are the 10, 50 and 90 % points of a figure.
func points(low, likely, high float64) figure.Percentiles {
	return figure.Percentiles{Low: low, Likely: likely, High: high}
}

// scaled is an answer about a vessel with so much scale in it, planned.
func scaled(t testing.TB, v record.Vessel, grams, mm figure.Percentiles, query DescaleQuery, services ...record.Service) Descaling {
	t.Helper()
	query.Acid = descaling.Citric
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	bought := record.NewDate(2024, time.January, 10)
	machine := record.Equipment{ID: "machine", Bought: bought, Machine: &record.Machine{
		Setting: record.Home, Line: "tap", Vessels: []record.Vessel{v}, Groups: []record.Group{{ID: "group"}},
	}}
	var dated []record.Dated[record.Service]
	for i, s := range services {
		s.Task = "machine/descale/" + v.ID
		dated = append(dated, record.Dated[record.Service]{ID: int64(i + 1), On: bought + record.Date(100*i+100), Body: s})
	}
	for _, duty := range catalogue.Duties([]record.Equipment{machine}) {
		if duty.ID == "machine/descale/"+v.ID {
			x := wear.Outcome{Duty: duty, Scale: &wear.VesselScale{LastTest: bought}}
			a := Descaling{Grams: grams, MM: mm}
			a.plan(dated, x, v, query)
			return a
		}
	}
	t.Fatal("the catalogue does not descale vessels")
	return Descaling{}
}

var steel = record.Vessel{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, Litres: 1.5}

func TestDescaleRefuses(t *testing.T) {
	few, thin := points(1, 2, 4), points(0.03, 0.06, 0.12)
	aluminium, forbidden := steel, steel
	aluminium.Material, forbidden.NoDescaler = record.Aluminium, "Do not descale"
	tests := []struct {
		name      string
		vessel    record.Vessel
		grams, mm figure.Percentiles
		services  []record.Service
		reason    string // empty where it may be done
		doubt     string
	}{
		{name: "little scale in steel", vessel: steel, grams: few, mm: thin},
		{name: "aluminium", vessel: aluminium, grams: few, mm: thin, reason: "aluminium"},
		{name: "the maker forbids it", vessel: forbidden, grams: few, mm: thin, reason: `"Do not descale"`},
		{name: "likely more than 20 g", vessel: steel, grams: points(10, 21, 40), mm: thin, reason: "21 g"},
		{name: "perhaps more than 20 g", vessel: steel, grams: points(5, 19, 40), mm: thin, doubt: "more than 40 g"},
		{name: "likely more than 1 mm", vessel: steel, grams: few, mm: points(0.5, 1.1, 2), reason: "1.1 mm"},
		{name: "perhaps more than 1 mm", vessel: steel, grams: few, mm: points(0.5, 0.9, 2), doubt: "2 mm"},
		{name: "crust at the last opening, of which some stayed", vessel: steel, grams: few, mm: thin, services: []record.Service{{Finding: record.Crust, Left: 0.2}}, reason: "it was crust on"},
		{name: "crust at the last opening, taken out", vessel: steel, grams: few, mm: thin, services: []record.Service{{Finding: record.Crust}}, doubt: "It was crust on"},
		{name: "flakes, of which half stayed", vessel: steel, grams: few, mm: thin, services: []record.Service{{Finding: record.Flakes, Left: 0.5}, {Left: 0.5}}, reason: "it was flakes on"},
		{name: "crust, and later a film", vessel: steel, grams: few, mm: thin, services: []record.Service{{Finding: record.Crust}, {Finding: record.Film}}},
		{name: "crust, and later all taken out", vessel: steel, grams: few, mm: thin, services: []record.Service{{Finding: record.Crust}, {}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a := scaled(t, tt.vessel, tt.grams, tt.mm, DescaleQuery{}, tt.services...)
			reasons := strings.Join(a.Reasons, "; ")
			if a.Refused != (tt.reason != "") || !strings.Contains(reasons, tt.reason) {
				t.Errorf("refused %v for %q, want %q in it", a.Refused, reasons, tt.reason)
			}
			if a.Refused != (a.Baths == nil) || a.Refused != (len(a.Steps) == 0) || a.Refused != strings.Contains(a.Instead, "workshop") {
				t.Errorf("refused %v, with baths %v, %d steps and %q", a.Refused, a.Baths, len(a.Steps), a.Instead)
			}
			if doubts := strings.Join(a.Doubts, "; "); !strings.Contains(doubts, tt.doubt) || tt.doubt == "" && strings.Contains(doubts, "chance in ten") {
				t.Errorf("doubts %q, want %q in them", doubts, tt.doubt)
			}
		})
	}
}

// Worked by hand: 1.5 L take up 7.5 g a bath, so 8 g at the upper end are two
// baths of 4 g, and the likely 3 g one of them. Citric acid takes 4.2 g for each
// gram, 16.8 g, and at least half as much again. Five volumes rinse.
func TestDescaleByHand(t *testing.T) {
	b := scaled(t, steel, points(1, 3, 8), points(0.03, 0.09, 0.25), DescaleQuery{}).Baths
	if b == nil || b.Baths != 2 || b.LikelyBaths != 1 {
		t.Fatalf("baths %+v, want two, likely one", b)
	}
	for _, c := range []struct {
		name            string
		got, want, loss float64
	}{
		{"litres", b.LitresEach, 1.5, 0},
		{"scale each", b.ScaleGramsEach, 4, 1e-9},
		{"acid without excess", b.LeastGramsEach, 16.8, 0.02},
		{"rinse", b.RinseLitres, 7.5, 1e-9},
		{"acid in all", b.AcidGrams, 2 * b.GramsEach, 1e-9},
		{"likely acid", b.LikelyAcidGrams, b.GramsEach, 1e-9},
	} {
		if math.Abs(c.got-c.want) > c.loss {
			t.Errorf("%s: %.4f, want %.4f", c.name, c.got, c.want)
		}
	}
	if b.GramsEach < 1.5*b.LeastGramsEach {
		t.Errorf("%.1f g of acid each, want half as much again as %.1f at least", b.GramsEach, b.LeastGramsEach)
	}
}

// A boiler of 0.6 litres, of which the forecast says 0.05 to 60.94 g, asked about
// with 2 litres: what fits is 0.6, at most 3 g of scale a bath, seven baths for the
// 20 g that are done at home. Each ends at pH 3 or less with no calcium citrate (by
// hand with one bath of 2 litres poured into 0.6: pH 3.7, index +1.4), and nobody
// says of 20 g that nine in ten do not exceed them.
func TestDescaleFitsTheVessel(t *testing.T) {
	small := record.Vessel{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, Litres: 0.6}
	grams := points(0.05, 4, 60.94)
	a := scaled(t, small, grams, points(0.01, 0.1, 0.9), DescaleQuery{Litres: 2})
	b := a.Baths
	if b == nil || b.Circulated || b.LitresEach != 0.6 || b.Baths != 7 || b.LikelyBaths != 2 {
		t.Fatalf("baths %+v, want seven of 0.6 litres in the vessel, likely two", b)
	}
	const alkalinity, calcium = 5e-3, 2.5e-3 // of the hardest tap water, 250 mg/L CaCO3
	scale := b.ScaleGramsEach / 100.09 / 0.6
	end := descaling.CitrateBath{CalciumMolPerL: scale + calcium, CitrateMolPerL: b.GramsEach / 210.14 / 0.6, BaseEqPerL: 2*scale + alkalinity}
	if end.PH() > 3.0001 || end.Index() > 0 {
		t.Errorf("a bath ends at pH %.2f with calcium citrate at %+.2f, want 3 or less and below 0", end.PH(), end.Index())
	}
	if doubts := strings.Join(a.Doubts, "\n"); !strings.Contains(doubts, "holds 0.6 litres") || !strings.Contains(doubts, "2 do not fit") || !strings.Contains(doubts, "more than 61 g") {
		t.Errorf("doubts %q, want that 2 litres do not fit and that there may be more than 61 g", doubts)
	}
	why := strings.Join(b.Why, "\n")
	if strings.Contains(why, "nine vessels in ten") || !strings.Contains(why, "take up 20 g, the most that is done at home: one vessel in ten like this one holds more than 61 g") {
		t.Errorf("why %q, want that 20 g are the most done at home", why)
	}

	// The quantile is said where it is one.
	b = scaled(t, small, points(0.5, 1, 2.5), points(0.01, 0.1, 0.2), DescaleQuery{}).Baths
	if why := strings.Join(b.Why, "\n"); !strings.Contains(why, "take up 2.5 g, which nine vessels in ten") {
		t.Errorf("why %q, want the 2.5 g that nine in ten do not exceed", why)
	}

	// What has no opening is pumped through: there a larger bath is one.
	sealed := small
	sealed.ID, sealed.Kind, sealed.Descaled = "brew", record.BrewBoiler, record.PumpedThrough
	a = scaled(t, sealed, points(1, 3, 8), points(0.01, 0.1, 0.2), DescaleQuery{Litres: 2})
	if b := a.Baths; b == nil || !b.Circulated || b.LitresEach != 2 || b.Baths != 1 {
		t.Errorf("baths %+v, want one of 2 litres pumped through", b)
	} else if way := strings.Join(b.Way, "\n"); !strings.Contains(way, "Where the maker foresees no way through, this is work for a workshop") {
		t.Errorf("way %q, want the workshop where the maker foresees none", way)
	}
	a = scaled(t, sealed, points(1, 3, 8), points(0.01, 0.1, 0.2), DescaleQuery{Litres: 0.3})
	if doubts := strings.Join(a.Doubts, "\n"); !strings.Contains(doubts, "a bath of 0.3 does not fill it") {
		t.Errorf("doubts %q, want that 0.3 litres do not fill the vessel", doubts)
	}

	// What has no opening, and no way through that its maker foresees, is a workshop's.
	for _, kind := range []record.VesselKind{record.BrewBoiler, record.HeatExchanger} {
		sealed.Kind, sealed.Descaled = kind, ""
		a = scaled(t, sealed, points(1, 3, 8), points(0.01, 0.1, 0.2), DescaleQuery{Litres: 2})
		if reasons := strings.Join(a.Reasons, "\n"); !a.Refused || a.Baths != nil || !strings.Contains(reasons, "no opening to the air") || !strings.Contains(reasons, "descaled: pumped through") {
			t.Errorf("a %s: refused %t, reasons %q", kind, a.Refused, reasons)
		}
	}
}

// A vessel just descaled needs no acid.
func TestDescaleClean(t *testing.T) {
	a := scaled(t, steel, points(0, 0, 0.05), figure.Percentiles{}, DescaleQuery{})
	if !a.Clean || a.Refused || a.Baths != nil {
		t.Errorf("clean %v, refused %v, baths %v; want clean alone", a.Clean, a.Refused, a.Baths)
	}
}

// Whatever is in the vessel, the baths take up the upper end of the estimate, up
// to what may be done at home, none of them more than 5 g a litre.
func TestDescaleCoversTheEstimate(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		likely := rapid.Float64Range(0.1, 20).Draw(r, "likely grams")
		grams := figure.Percentiles{Low: likely / 2, Likely: likely, High: likely * rapid.Float64Range(1, 6).Draw(r, "spread")}
		litres := rapid.Float64Range(0.05, 20).Draw(r, "litres")
		a := scaled(t, steel, grams, points(0.01, 0.05, 0.1), DescaleQuery{Litres: litres})
		if grams.High < cleanGrams {
			if !a.Clean {
				r.Fatalf("%+v is not clean", grams)
			}
			return
		}
		b := a.Baths
		if b == nil {
			r.Fatalf("%+v in %v L: refused %v", grams, litres, a.Reasons)
		}
		if covered := b.ScaleGramsEach * float64(b.Baths); covered < min(grams.High, descaling.MostGrams)*(1-1e-9) {
			r.Errorf("%d baths of %.3f g cover %.3f g of %.3f", b.Baths, b.ScaleGramsEach, covered, grams.High)
		}
		if b.ScaleGramsEach > descaling.BathMostGramsPerL*b.LitresEach*(1+1e-9) {
			r.Errorf("%.3f g in %.3f L", b.ScaleGramsEach, b.LitresEach)
		}
		if b.LikelyBaths < 1 || b.LikelyBaths > b.Baths || b.ScaleGramsEach*float64(b.LikelyBaths) < min(likely, b.ScaleGramsEach*float64(b.Baths))*(1-1e-9) {
			r.Errorf("%d of %d baths likely for %.3f g", b.LikelyBaths, b.Baths, likely)
		}
		if b.GramsEach < b.LeastGramsEach || b.MostCelsius > 50 || b.DrainPH > 3 {
			r.Errorf("citric acid: %+v", b)
		}
	})
}
