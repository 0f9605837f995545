package advice_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
	"limekeep/water"
)

func tested(hardness, alkalinity, ph float64) record.WaterTest {
	values := []water.Measured{
		{Quantity: water.Hardness, Value: hardness, Unit: water.MgPerLCaCO3, Method: water.MethodDrop},
		{Quantity: water.Alkalinity, Value: alkalinity, Unit: water.MgPerLCaCO3, Method: water.MethodDrop},
	}
	if ph > 0 {
		values = append(values, water.Measured{Quantity: water.PH, Value: ph, Unit: water.PHUnit, Method: water.MethodMeter})
	}
	return record.WaterTest{Test: water.Test{Values: values}}
}

// A hard water pulls the descaling in, and a service says when it comes round again.
func TestAnswerTo(t *testing.T) {
	kitchen, _ := sample.LivedIn(t)
	ctx := t.Context()
	d, err := kitchen.Open(ctx, schedule.Moment{Today: sample.Today})
	if err != nil {
		t.Fatal(err)
	}
	answer := func(w journal.Receipt, err error) advice.Answer {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		if d, err = kitchen.Journal.After(ctx, d, w); err != nil {
			t.Fatal(err)
		}
		f, err := d.Forecast(ctx)
		if err != nil {
			t.Fatal(err)
		}
		a, err := advice.AnswerTo(ctx, f, w.Record)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	a := answer(kitchen.Journal.AddWaterTest(ctx, d, 0, tested(400, 300, 0)))
	if a.Water == nil || a.Water.Hardness != advice.Hard || !a.Water.Scaling {
		t.Errorf("got %+v", a.Water)
	}
	earlier := false
	for _, m := range a.Moved {
		if strings.Contains(m.Task, "/descale/") && m.To != nil && (m.From == nil || *m.To < *m.From) {
			earlier = true
		}
	}
	if !earlier {
		t.Errorf("no descaling is due earlier by harder water: %+v", a.Moved)
	}
	a = answer(kitchen.Journal.Done(ctx, d, 0, record.Service{Task: "descale/steam", Finding: record.Film, Grams: 2}))
	if a.Next == nil || !strings.HasSuffix(a.Next.Task, "descale/steam") || a.Next.Likely != nil && *a.Next.Likely <= sample.Today || len(a.Learnt) != 1 {
		t.Errorf("got %+v, learnt %q", a.Next, a.Learnt)
	}
	a = answer(kitchen.Journal.Done(ctx, d, 0, record.Service{Task: "group-gasket"}))
	if a.Next == nil || len(a.Learnt) != 1 || !strings.Contains(a.Learnt[0], "worn") {
		t.Errorf("a service without a finding: %+v, %q", a.Next, a.Learnt)
	}
	f, _ := d.Forecast(ctx)
	if _, err := advice.AnswerTo(ctx, f, 99999); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("of no record: %v", err)
	}
}

// Words of hardness follow the bounds of WRMG 2007, section 9: soft below 1.5 mmol/L,
// hard above 2.5, of which 1 mmol/L is 100.09 mg/L as CaCO3. What mends a water is by
// common practice: lime and alkalinity leave together by a weak acid exchanger, a soft
// water gets no softener, chloride leaves by a membrane alone.
func TestMeaningOf(t *testing.T) {
	kitchen := sample.ReadOnly(t)
	d, err := kitchen.Open(t.Context(), schedule.Moment{Today: sample.Today})
	if err != nil {
		t.Fatal(err)
	}
	salty := tested(300, 220, 7.6)
	salty.Test.Values = append(salty.Test.Values, water.Measured{Quantity: water.Chloride, Value: 180, Unit: water.MgPerL, Method: water.MethodLaboratory})
	for _, c := range []struct {
		name     string
		test     record.WaterTest
		word     advice.Hardness
		scaling  bool
		says     string
		mends    string // the first
		mendsNot string
	}{
		{"hard", tested(400, 300, 0), advice.Hard, true, "is hard water", "The cartridge takes lime out while it lasts", "No softening"},
		{"just hard", tested(260, 200, 0), advice.Hard, true, "is hard water", "The cartridge", ""},
		{"medium", tested(200, 150, 0), advice.Medium, true, "is medium hard water", "The cartridge", ""},
		{"soft and sour", tested(40, 20, 6.4), advice.Soft, false, "turning sour", "Blend it with a harder water", "descale when it falls due"},
		{"very soft", tested(15, 12, 0), advice.VerySoft, false, "is very soft water", "Blend it", "A softening cartridge"},
		{"salty", salty, advice.Hard, true, "chloride", "The cartridge", ""},
	} {
		c.test.Line = "tap"
		m, err := advice.MeaningOf(d, c.test)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		says, mend := strings.Join(m.Says, " "), strings.Join(m.Mend, " ")
		if m.Hardness != c.word || m.Scaling != c.scaling || !strings.Contains(says, c.says) {
			t.Errorf("%s: %s, scaling %v: %s", c.name, m.Hardness, m.Scaling, says)
		}
		if len(m.Mend) == 0 || !strings.HasPrefix(m.Mend[0], c.mends) || c.mendsNot != "" && strings.Contains(mend, c.mendsNot) {
			t.Errorf("%s: mend %q", c.name, m.Mend)
		}
		if c.name == "salty" && !strings.Contains(mend, "Reverse osmosis") {
			t.Errorf("salty: mend %q", m.Mend)
		}
	}
}

// Of a cartridge that is past its date nobody is told that it takes lime out: a fresh one
// comes first. The home's has a year, from January 2026.
func TestMeaningOfAUsedUpCartridge(t *testing.T) {
	f := sample.ReadOnly(t).Forecast(t, schedule.Moment{Today: record.NewDate(2027, 6, 1)})
	test := tested(400, 300, 0)
	test.Line = "tap"
	m, err := advice.MeaningIn(f, test)
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Mend) == 0 || !strings.HasPrefix(m.Mend[0], "Change the cartridge first: it was likely used up by ") {
		t.Errorf("mend %q", m.Mend)
	}
}

// A softener takes the hardness and leaves the alkalinity: behind it nothing is to be
// measured again for that, and no treatment comes after it.
func TestMeaningBehindASoftener(t *testing.T) {
	d, err := sample.ReadOnly(t).Open(t.Context(), schedule.Moment{Today: sample.Today})
	if err != nil {
		t.Fatal(err)
	}
	line, err := d.Book.Find("tap")
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(line.Line.Treatment, func(s record.Treatment) bool { return s.Kind == record.Softener })
	if i < 0 {
		t.Fatal("the home has no softener")
	}
	for _, c := range []struct {
		after string
		asks  bool
	}{{"", true}, {line.Line.Treatment[i].ID, false}} {
		test := tested(100, 230, 0)
		test.Line, test.After = "tap", c.after
		m, err := advice.MeaningOf(d, test)
		if err != nil {
			t.Fatal(err)
		}
		again, says := strings.Join(m.Again, " "), strings.Join(m.Says, " ")
		if strings.Contains(again, "above hardness") != c.asks || strings.Contains(says, "unless a treatment") != c.asks {
			t.Errorf("behind %q: measure again %q; %s", c.after, again, says)
		}
	}
}
