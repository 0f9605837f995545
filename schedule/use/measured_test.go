package use

import (
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

// measuredBook is a kitchen whose machine, line and grinder are in the book.
func measuredBook(today record.Date, entries []record.Entry, days []record.UseDay) *record.Book {
	equipment := []record.Equipment{
		home(monday),
		{ID: "tap", Bought: monday, Line: &record.WaterLine{Supply: record.Mains}},
		{ID: "grinder", Bought: monday, Grinder: &record.Grinder{Serves: []string{"machine"}}},
	}
	equipment[0].Machine.Line = "tap"
	all := append([]record.Entry{}, entries...)
	for i, e := range equipment {
		all = append(all, kept(int64(900+i), monday, e))
	}
	return record.NewBook(today, all, days)
}

func measuredHome() record.Equipment {
	e := home(monday)
	e.Machine.Line = "tap"
	return e
}

func litresOf(c *Timeline, from, to record.Date) (litres, shots, kilograms float64) {
	for d := from; d <= to; d++ {
		litres += c.On(d).Litres()
		shots += c.On(d).Shots
		kilograms += c.On(d).Kilograms
	}
	return litres, shots, kilograms
}

func reading(id int64, on record.Date, litres float64) record.Entry {
	return kept(id, on, record.MeterReading{Line: "tap", Litres: litres})
}

// A fortnight by habit is 4 shots on ten weekdays and 6 on four days of
// weekends: 64 shots of 84 g, 14 warm-ups of 100 g and 32 milk drinks of 25 g of
// steam, 7.576 litres.
const fortnightLitres = 64*0.084 + 14*0.1 + 32*0.025

func TestMeterCorrectsTheHabit(t *testing.T) {
	for _, test := range []struct {
		name     string
		metered  float64
		rest     float64 // what is left unexplained
		leaks    bool
		short    bool
		learned  float64 // sum of the days after the correction
		relative float64 // shots after it, by those before
	}{
		{"as the habit says", fortnightLitres, 0, false, false, fortnightLitres, 1},
		{"a third more", fortnightLitres * 1.33, 0, false, false, fortnightLitres * 1.33, 1.33},
		{"a third less", fortnightLitres * 0.67, 0, false, false, fortnightLitres * 0.67, 0.67},
		// The habit's 25 % and the drinks' 12 % make 28 % together; twice that is the reach.
		{"far more: a leak", fortnightLitres * 4, fortnightLitres * (3 - 2*math.Hypot(0.25, 0.12)), true, false, 0, 1 + 2*math.Hypot(0.25, 0.12)},
		{"nothing at all", 0, -fortnightLitres * (1 - 2*math.Hypot(0.25, 0.12)), false, false, 0, 1 - 2*math.Hypot(0.25, 0.12)},
	} {
		t.Run(test.name, func(t *testing.T) {
			book := measuredBook(monday+30, []record.Entry{reading(1, monday-1, 100), reading(2, monday+13, 100+test.metered)}, nil)
			c := NewTimeline(book, measuredHome(), monday, monday+60)
			if len(c.Totals) != 1 {
				t.Fatalf("totals: %+v", c.Totals)
			}
			got := c.Totals[0]
			if !near(got.Measured, test.metered) || !near(got.Accounted, fortnightLitres) || !near(got.Rest, test.rest) || got.Days() != 14 {
				t.Errorf("%+v, want %v metered, %v accounted, rest %v", got, test.metered, fortnightLitres, test.rest)
			}
			if got.Leaks() != test.leaks || got.FallsShort() != test.short {
				t.Errorf("leaks %t, falls short %t", got.Leaks(), got.FallsShort())
			}
			litres, shots, _ := litresOf(c, monday, monday+13)
			if test.learned > 0 && !near(litres, test.learned) {
				t.Errorf("%v litres after the correction, want %v", litres, test.learned)
			}
			if !near(shots, 64*test.relative) {
				t.Errorf("%v shots after the correction, want %v", shots, 64*test.relative)
			}
			if d := c.On(monday + 3); !d.Metered || d.Logged || !d.Known() {
				t.Errorf("a metered day: %+v", d)
			}
			if d := c.On(monday + 20); d.Metered || d.Known() || d.Shots < 3.9 || d.Shots > 6.1 {
				t.Errorf("a day after the last reading: %+v", d)
			}
		})
	}
}

// A rest is worth a caution where it is both half a litre a day and a twentieth
// of the whole, above for a leak, below for a meter that stands still.
func TestWhenARestIsWorthACaution(t *testing.T) {
	for _, test := range []struct {
		name              string
		total             Total
		leaks, fallsShort bool
	}{
		{"nothing left", Total{From: 1, To: 10, Measured: 100, Accounted: 90}, false, false},
		{"half a litre a day", Total{From: 1, To: 10, Measured: 100, Accounted: 80, Rest: 5}, true, false},
		{"less than half a litre a day", Total{From: 1, To: 10, Measured: 50, Accounted: 40, Rest: 4.9}, false, false},
		{"hardly any of a bar's", Total{From: 1, To: 10, Measured: 1000, Accounted: 900, Rest: 20}, false, false},
		{"half a litre a day too little", Total{From: 1, To: 10, Measured: 60, Accounted: 100, Rest: -5}, false, true},
		{"hardly too little", Total{From: 1, To: 10, Measured: 60, Accounted: 100, Rest: -4.9}, false, false},
		{"no total at all", Total{From: 1, To: 10, Measured: 100, Rest: 50, Wrong: ErrOpeningUnknown}, false, false},
	} {
		if got := test.total.Leaks(); got != test.leaks {
			t.Errorf("%s: leaks %t", test.name, got)
		}
		if got := test.total.FallsShort(); got != test.fallsShort {
			t.Errorf("%s: falls short %t", test.name, got)
		}
	}
}

// Where all drinks were written down the shots stand, and only the water they
// took is corrected; later days then take as much.
func TestMeterTeachesTheWaterOfADrink(t *testing.T) {
	today := monday + 120
	entries, days := logOf(today, 121, func(d record.Date) float64 { return 4 })
	entries = append(entries, reading(2, monday-1, 0))
	log := 0.0
	for i := range 100 {
		d := drinksOf(record.Home, home(monday).Machine.Habit)
		log += d.logged(record.UseDay{Date: monday + record.Date(i), Shots: 4}).Litres()
	}
	entries = append(entries, reading(3, monday+99, log*1.15))
	c := NewTimeline(measuredBook(today, entries, days), measuredHome(), monday, today+30)
	litres, shots, _ := litresOf(c, monday, monday+99)
	if !near(litres, log*1.15) || !near(shots, 400) {
		t.Errorf("%v litres and %v shots, want %v and 400", litres, shots, log*1.15)
	}
	plain := log / 100
	for _, d := range []record.Date{monday + 110, today} {
		if got := c.On(d).Litres() / plain; got < 1.10 || got > 1.15 {
			t.Errorf("%s takes %.3f of the water, want nearly 1.15", d, got)
		}
	}
	if c.Spread.Water >= 0.12 {
		t.Errorf("the water of a drink is as uncertain as before: %v", c.Spread.Water)
	}
}

func TestMeterChangesAndRollsOver(t *testing.T) {
	at := func(litres, rolls float64, start *float64) record.MeterReading {
		return record.MeterReading{Line: "tap", Litres: litres, RollsOverLitres: rolls, NewStart: start}
	}
	for _, test := range []struct {
		name           string
		earlier, later record.MeterReading
		want           float64
		wrong          bool
	}{
		{"counting up", at(1000, 0, nil), at(1250, 0, nil), 250, false},
		{"a new meter that began at 0", at(99_000, 0, new(0.)), at(40, 0, nil), 40, false},
		{"a new meter that had run before", at(10, 0, new(500.)), at(540, 0, nil), 40, false},
		{"over the top", at(99_900, 100_000, nil), at(150, 0, nil), 250, false},
		{"over the top, said later", at(99_900, 0, nil), at(150, 100_000, nil), 250, false},
		{"backwards", at(1000, 0, nil), at(900, 0, nil), 0, true},
		{"below a new meter's start", at(10, 0, new(500.)), at(400, 0, nil), 0, true},
	} {
		got, err := record.MeteredLitres(test.earlier, test.later)
		if (err != nil) != test.wrong || !near(got, test.want) {
			t.Errorf("%s: %v litres, %v", test.name, got, err)
		}
	}
	// Of two readings of one day the later one stands.
	totals := meterTotals([]record.Dated[record.MeterReading]{
		{ID: 1, On: 10, Body: at(0, 0, nil)}, {ID: 2, On: 20, Body: at(1000, 0, nil)}, {ID: 3, On: 20, Body: at(100, 0, nil)}, {ID: 4, On: 30, Body: at(250, 0, nil)},
	}, "tap")
	want := []Total{{Of: "tap", Records: []int64{1, 3}, From: 11, To: 20, Measured: 100}, {Of: "tap", Records: []int64{3, 4}, From: 21, To: 30, Measured: 150}}
	if diff := cmp.Diff(want, totals); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// A broken total corrects nothing and says why.
func TestABrokenTotalChangesNothing(t *testing.T) {
	book := measuredBook(monday+30, []record.Entry{reading(1, monday, 500), reading(2, monday+13, 100)}, nil)
	c := NewTimeline(book, measuredHome(), monday, monday+60)
	plain := NewTimeline(measuredBook(monday+30, nil, nil), measuredHome(), monday, monday+60)
	if diff := cmp.Diff(plain.Days, c.Days); diff != "" {
		t.Errorf("days changed:\n%s", diff)
	}
	var field *record.FieldError
	if len(c.Totals) != 1 || !errors.As(c.Totals[0].Wrong, &field) {
		t.Errorf("totals: %+v", c.Totals)
	}
}

// A kilogram of coffee in a fortnight is 55 doubles, not the habit's 64.
func TestBagsCorrectTheHabit(t *testing.T) {
	bag := kept(1, monday+13, record.Bag{Grinder: "grinder", Grams: 1000, Opened: monday})
	c := NewTimeline(measuredBook(monday+30, []record.Entry{bag}, nil), measuredHome(), monday, monday+60)
	_, shots, kilograms := litresOf(c, monday, monday+13)
	if !near(kilograms, 1) || !near(shots, 1000/18.) {
		t.Errorf("%v kg and %v shots, want 1 and %v", kilograms, shots, 1000/18.)
	}
	if c.Totals[0].Rest != 0 || !near(c.Totals[0].Accounted, 64*0.018) {
		t.Errorf("%+v", c.Totals[0])
	}
}

// Logged shots stand; the days nobody wrote down take what is left of the bag.
func TestBagsLeaveTheLogAlone(t *testing.T) {
	entries := []record.Entry{byLog(1, monday, monday+6), kept(2, monday+13, record.Bag{Grinder: "grinder", Grams: 900, Opened: monday})}
	c := NewTimeline(measuredBook(monday+30, entries, sevenDays(1, 4)), measuredHome(), monday, monday+60)
	_, logged, kilograms := litresOf(c, monday, monday+6)
	if !near(logged, 28) || math.Abs(kilograms-28*0.018) > 0.02*28*0.018 {
		t.Errorf("the logged week: %v shots, %v kg", logged, kilograms)
	}
	_, _, all := litresOf(c, monday, monday+13)
	if !near(all, 0.9) {
		t.Errorf("%v kg in all, want the bag's 0.9", all)
	}
}

func TestBagsOpenAtTheSameTimeMakeOneTotal(t *testing.T) {
	bag := func(id int64, on, opened record.Date) record.Dated[record.Bag] {
		return record.Dated[record.Bag]{ID: id, On: on, Body: record.Bag{Grinder: "g", Grams: 250, Opened: opened}}
	}
	got := bagTotals([]record.Dated[record.Bag]{bag(1, 20, 10), bag(2, 25, 15), bag(3, 40, 0), bag(4, 40, 0)}, "g")
	want := []Total{
		{Of: "g", Records: []int64{1, 2}, From: 10, To: 25, Measured: 0.5},
		{Of: "g", Records: []int64{3, 4}, From: 26, To: 40, Measured: 0.5},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// With a second grinder for the same machine no bag says what it used.
func TestBagsOfSharedGrindersCorrectNothing(t *testing.T) {
	entries := []record.Entry{
		kept(1, monday+13, record.Bag{Grinder: "grinder", Grams: 250, Opened: monday}),
		kept(2, monday, record.Equipment{ID: "second", Bought: monday, Grinder: &record.Grinder{Serves: []string{"machine"}}}),
	}
	c := NewTimeline(measuredBook(monday+30, entries, nil), measuredHome(), monday, monday+60)
	if _, shots, _ := litresOf(c, monday, monday+13); !near(shots, 64) {
		t.Errorf("%v shots, want the habit's 64", shots)
	}
	if !errors.Is(c.Totals[0].Wrong, ErrSharedGrinding) {
		t.Errorf("%+v", c.Totals)
	}
}

// The square of so little is zero; the factor is not.
func TestSpreadOfNextToNothing(t *testing.T) {
	factors, rest := spread(1, []share{{8.89e-162, 0.12}, {8.89e-162, 0.15}, {8.89e-162, 0.28}})
	for i, f := range factors {
		if f < 1 || f > 1.6 {
			t.Errorf("factor %d is %v", i, f)
		}
	}
	if rest != 1 {
		t.Errorf("rest %v of 1", rest)
	}
}

// What was measured is what was accounted for, corrected within reason, and a
// rest that points the same way as the correction.
func TestSpreadAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shares := []share{
			{rapid.Float64Range(0, 100).Draw(t, "written"), 0.12},
			{rapid.Float64Range(0, 100).Draw(t, "corrected"), 0.15},
			{rapid.Float64Range(0, 100).Draw(t, "habit"), 0.28},
		}
		measured := rapid.Float64Range(0, 400).Draw(t, "measured")
		factors, rest := spread(measured, shares)
		sum, before := 0.0, 0.0
		for i, f := range factors {
			if f < 0.4 || f > 1.6 {
				t.Fatalf("factor %v", f)
			}
			sum += shares[i].sum * f
			before += shares[i].sum
		}
		if !near(sum+rest, measured) {
			t.Fatalf("%v corrected and a rest of %v, measured %v", sum, rest, measured)
		}
		if rest*(measured-before) < 0 {
			t.Fatalf("rest %v, while %v was measured of %v", rest, measured, before)
		}
	})
}
