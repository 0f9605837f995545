package day_test

import (
	"context"
	"slices"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// overdueKitchen is a home on hard water without any treatment, whose owner would
// rather work on Saturdays for two hours, and to which nothing was done for
// eleven months: whatever is done to it is written down. The machine is that of the README.
func overdueKitchen() schedule.Setup {
	bought, looked := today.AddMonths(-26), today.AddMonths(-11)
	return schedule.Setup{
		Place: record.Place{ID: "kitchen", Zone: "Europe/Vienna", Times: []record.PreferredTime{{When: "0 10 * * SAT", Minutes: 120}}},
		Equipment: []record.Equipment{
			{ID: "tap", Bought: bought, RecordsFrom: bought, LookedAfter: looked, Line: &record.WaterLine{Supply: record.Mains}},
			{ID: "machine", Bought: bought, RecordsFrom: bought, LookedAfter: looked, Machine: &record.Machine{
				Setting: record.Home, Line: "tap",
				Vessels: []record.Vessel{
					{ID: "brew", Kind: record.BrewBoiler, Descaled: record.PumpedThrough, Material: record.Stainless, Litres: 0.6, Watts: 1000, Celsius: 93, OrificeMM: 0.6},
					{ID: "steam", Kind: record.SteamBoiler, Material: record.Copper, GaugeBar: 1.2},
				},
				Groups: []record.Group{{ID: "group", ThreeWayValve: true, Gasket: record.EPDM, SealCelsius: 95}},
				Habit:  record.Habit{WeekdayShots: 3, WeekendShots: 6, SteamedShare: new(0.4), HotWaterLitres: new(0.2), DoseGrams: 18, YieldGrams: 36, HotHours: 3},
			}},
			{ID: "grinder", Bought: bought, RecordsFrom: bought, LookedAfter: looked, Grinder: &record.Grinder{
				Setting: record.Home, Drive: record.HandDriven, Geometry: record.ConicalBurrs, DiameterMM: 48, Serves: []string{"machine"},
			}},
		},
	}
}

// Both boilers are overdue for descaling. They are descaled within four weeks, in
// slots of two hours that the week's wiping leaves alone; what is for a workshop
// or licensed people is one visit, with a day to call by; a morning has one
// sitting; and when all is caught up with is told.
func TestBacklogOfElevenMonths(t *testing.T) {
	k, _ := sample.SetUp(t, overdueKitchen())
	if _, err := k.Journal.AddWaterTest(context.Background(), k.Day(t, at), today.AddMonths(-11), record.WaterTest{Line: "tap", Test: sample.DropTest(18, 14)}); err != nil {
		t.Fatal(err)
	}
	f := k.Forecast(t, at)
	p := f.Plan()
	for _, task := range []string{"machine/descale/brew", "machine/descale/steam"} {
		due, err := f.DueOf(task)
		if err != nil {
			t.Fatal(err)
		}
		if !due.Overdue {
			t.Errorf("%s is not overdue: %v", task, due.Likely)
		}
		if due.Sitting == nil || record.DateOf(*due.Sitting) > today+28 {
			t.Errorf("%s is planned for %v, not within four weeks", task, due.Sitting)
		}
	}
	days := map[record.Date]bool{}
	for _, s := range p.Sittings {
		if on := record.DateOf(s.Start); days[on] {
			t.Errorf("two sittings on %s", on)
		} else {
			days[on] = true
		}
		for _, turn := range s.Turns {
			for _, r := range p.Rounds {
				if slices.Contains(r.Tasks, turn.Task) {
					t.Errorf("%s is routine and takes a slot on %s", turn.Task, s.Start)
				}
			}
		}
	}
	visits := 0
	for _, v := range p.Visits {
		if v.Equipment == "machine" && v.On < today.AddMonths(12) {
			visits++
			if v.CallBy >= v.On || len(v.Turns) < 2 {
				t.Errorf("the visit of %s: call by %s, %d tasks", v.On, v.CallBy, len(v.Turns))
			}
		}
	}
	if visits != 1 {
		t.Errorf("%d visits for the machine within a year, want one: %+v", visits, p.Visits)
	}
	if p.CatchUp == nil || p.CatchUp.End > today.AddMonths(2) || p.CatchUp.End < today || p.CatchUp.Says == "" {
		t.Errorf("catching up: %+v", p.CatchUp)
	}
	for _, c := range p.CannotMeet {
		if c.Turn == 1 {
			t.Errorf("it cannot be met: %+v", c)
		}
	}
}

// The same kitchen, of which nobody said that all is written down: what was done is
// not known, and the boilers' dates are wide. They are descaled nearer to their likely
// dates than to their late ones: that lives are reckoned from today must not make
// waiting look cheap.
func TestBacklogOfUnknownPast(t *testing.T) {
	setup := overdueKitchen()
	for i := range setup.Equipment {
		setup.Equipment[i].RecordsFrom = 0
	}
	k, _ := sample.SetUp(t, setup)
	if _, err := k.Journal.AddWaterTest(context.Background(), k.Day(t, at), today, record.WaterTest{Line: "tap", Test: sample.DropTest(20, 14)}); err != nil {
		t.Fatal(err)
	}
	f := k.Forecast(t, at)
	for _, task := range []string{"machine/descale/brew", "machine/descale/steam"} {
		due, err := f.DueOf(task)
		if err != nil {
			t.Fatal(err)
		}
		if due.Likely == nil || due.Late == nil || due.Sitting == nil {
			t.Fatalf("%s: likely %v, late %v, sitting %v", task, due.Likely, due.Late, due.Sitting)
		}
		likely := max(today, *due.Likely)
		if on := record.DateOf(*due.Sitting); on > likely+(*due.Late-likely)/2 {
			t.Errorf("%s is likely due on %s, late on %s, and stands on %s", task, due.Likely, due.Late, on)
		}
	}
}

// unpublished are records in whose publications one task stood nowhere.
type unpublished struct {
	schedule.Records
	task string
}

func (u unpublished) Read(ctx context.Context, place string, until record.Date) (*record.Book, error) {
	book, err := u.Records.Read(ctx, place, until)
	if err != nil {
		return nil, err
	}
	entries := slices.Clone(book.Entries)
	for i, e := range entries {
		if p, ok := e.Body.(record.Publication); ok {
			p.Turns = slices.DeleteFunc(slices.Clone(p.Turns), func(t record.PublishedTurn) bool { return t.Task == u.task })
			entries[i].Body = p
		}
	}
	return record.NewBook(book.Until, entries, book.Days), nil
}

// A task that is done before its day holds nothing for the turn after it: the day
// that was published for the turn that is done is free again. It may be chosen anew, for
// the company of what else is done on it, where it would be if the task had never been
// published.
func TestTurnDoneEarlyLeavesItsDay(t *testing.T) {
	k, records := sample.LivedIn(t)
	ctx := context.Background()
	if _, err := k.Publisher.Publish(ctx, at); err != nil {
		t.Fatal(err)
	}
	before := k.Forecast(t, at)
	done := 0
	for _, due := range before.Due() {
		if due.Sitting == nil || due.CoveredBy != "" || due.Early == nil {
			continue
		}
		was := record.DateOf(*due.Sitting)
		if was <= today || was > today+60 {
			continue
		}
		if _, err := k.Journal.Done(ctx, k.Day(t, at), today, record.Service{Task: due.Task}); err != nil {
			continue // a check or a test is done by its values
		}
		done++
		after, err := k.Forecast(t, at).DueOf(due.Task)
		if err != nil {
			t.Fatal(err)
		}
		if after.Sitting != nil && record.DateOf(*after.Sitting) == was && after.Early != nil && was < *after.Early {
			never, _ := sample.New(t)
			never.ShareWaters()
			never.Records = unpublished{records, due.Task}
			if free, err := never.Forecast(t, at).DueOf(due.Task); err == nil && free.Sitting != nil && record.DateOf(*free.Sitting) == was {
				continue
			}
			t.Errorf("%s was done today instead of on %s, and stands on that day again, before its window from %s", due.Task, was, after.Early)
		}
	}
	if done < 5 {
		t.Errorf("only %d tasks were done early", done)
	}
}

// Nobody is called to a place at which nobody is: a visit is before or after a time away.
func TestNobodyIsCalledWhileAway(t *testing.T) {
	d, records := sample.LivedIn(t)
	m := schedule.Moment{Place: "home", Today: today}
	visits := d.Forecast(t, m).Plan().Visits
	if len(visits) == 0 {
		t.Fatal("nobody is called at all")
	}
	from, to := visits[0].On-10, visits[0].On+4
	if _, err := records.Append(t.Context(), record.Entry{Place: "home", Effective: today, Body: record.Away{From: from, To: to}}); err != nil {
		t.Fatal(err)
	}
	moved := d.Forecast(t, m).Plan().Visits
	if len(moved) == 0 {
		t.Fatal("nobody is called any more")
	}
	for _, v := range moved {
		if v.On >= from && v.On <= to {
			t.Errorf("somebody is called for %s, within %s to %s", v.On, from, to)
		}
	}
	if on := moved[0].On; on < from-1 || on > to+30 {
		t.Errorf("the visit of %s is on %s now", visits[0].On, on)
	}
}
