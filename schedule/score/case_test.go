package score

import (
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// A fixed interval counts from the service before. Where nobody knows when that was it
// names no day and is given no score, nor does the window then have a factor from there;
// from the first service on that was written down it does.
func TestAFixedIntervalNeedsADayToCountFrom(t *testing.T) {
	bought, from := record.NewDate(2023, 5, 4), record.NewDate(2026, 1, 10)
	machine := record.Equipment{ID: "machine", Bought: bought, RecordsFrom: from, Machine: &record.Machine{
		Setting: record.Home, Groups: []record.Group{{ID: "group", ThreeWayValve: true}}, Habit: record.Habit{WeekdayShots: 4, WeekendShots: 4},
	}}
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	var duty care.Duty
	for _, d := range catalogue.Duties([]record.Equipment{machine}) {
		if d.Task.ID == "backflush-detergent" {
			duty = d
		}
	}
	if !duty.Past.Unknown {
		t.Fatalf("its past is taken for known: %+v", duty.Past)
	}
	expected := func(served int64, on record.Date) record.PublishedExpected {
		e := record.PublishedExpected{Task: duty.ID, Served: served, Of: string(wear.ExpectedPart), Early: on + 10, Likely: on + 20, Late: on + 40}
		for _, days := range []record.Date{0, 60} {
			e.Points = append(e.Points, record.PublishedPoint{On: on + days, At: []float64{0.2, 0.3, 0.5, 0.7, 0.9, 1.2, 1.6}})
		}
		return e
	}
	services := []record.Dated[record.Service]{
		{ID: 2, On: from + 10, Body: record.Service{Task: duty.ID, Finding: record.Fresh}},
		{ID: 4, On: from + 40, Body: record.Service{Task: duty.ID, Finding: record.Worn}},
	}
	entries := []record.Entry{
		{ID: 1, Effective: from, Body: record.Publication{Expected: []record.PublishedExpected{expected(0, from)}}},
		{ID: 2, Effective: services[0].On, Body: services[0].Body},
	}
	looked := []Looked{{Duty: duty, Services: services[:1]}}
	first := Compare(record.NewBook(from+11, entries, nil), looked)
	entries = append(entries,
		record.Entry{ID: 3, Effective: from + 11, Body: record.Publication{Expected: []record.PublishedExpected{expected(2, from+11)}, Found: Kept(first)}},
		record.Entry{ID: 4, Effective: services[1].On, Body: services[1].Body})
	looked[0].Services = services
	cases := Compare(record.NewBook(from+41, entries, nil), looked)
	if len(first) != 1 || len(cases) != 2 {
		t.Fatalf("%d cases and then %d, want 1 and 2", len(first), len(cases))
	}
	if c := cases[0]; c.Fixed != nil || c.Maker != nil {
		t.Errorf("without a service before, a fixed interval named %v and scored %v", c.Fixed, c.Maker)
	}
	if c := cases[1]; c.Fixed == nil || c.Maker == nil || c.Fixed.String() < services[0].On.String() {
		t.Errorf("after the first service a fixed interval named %v and scored %v", c.Fixed, c.Maker)
	}
	// From the first service to the window: 11 days to its early date, 41 to its late one.
	tally := tallyOf("all", cases)
	if tally.Cases != 2 || tally.Fixed != 1 || tally.WindowOver < 3.7 || tally.WindowOver > 3.8 {
		t.Errorf("%+v, want one fixed interval and a factor of 41/11 = 3.73", tally)
	}
}
