package day_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// changedHome is the home whose owner changes things.
func changedHome() schedule.Setup {
	setup := sample.Home()
	setup.Care = record.OwnCare{
		Changes: []record.CareChange{
			{Task: "backflush-water", Off: true, Note: "the group rinses itself"},
			{Task: "group-gasket", Months: 12, By: record.ByMaker},
			{Task: "burr-cleaning", Gauge: "days since the burrs were cleaned", Usual: 20, Note: "oily beans"},
		},
		Tasks: []record.OwnTask{{ID: "hinges", Title: "Oil the hinges", Equipment: "bench", Months: 6, Cautions: []string{"Mind your fingers."}}},
	}
	return setup
}

// Everything an owner changes shows in the reasons, with what would stand there
// otherwise.
func TestChangesShowInWhy(t *testing.T) {
	d, _ := sample.SetUp(t, changedHome())
	sample.HoldsAll(t, sample.SaysOf(t, d, "group-gasket"), "the maker's figure of 365 days stands instead of the catalogue's: hours hot, as at 95 °C, 2920 h (1460 to 4380)", "By what you set on Mon 2 Mar 2026")
	sample.HoldsAll(t, sample.SaysOf(t, d, "burr-cleaning"), "the owner's figure of 20 days stands instead of the catalogue's: days since the burrs were cleaned, 45 days (30 to 90) (oily beans)")
	sample.HoldsAll(t, sample.SaysOf(t, d, "hinges"), "a task of your own")
	off, err := d.Forecast(t, schedule.Moment{Today: today}).DueOf("backflush-water")
	if err != nil || off.Rests == "" || off.Likely != nil || off.Sitting != nil {
		t.Errorf("%+v, %v", off, err)
	}
	sample.HoldsAll(t, strings.Join(off.Why, " "), "switched off by its owner", "the group rinses itself")
	dues := d.Forecast(t, schedule.Moment{Today: today}).Due()
	has := func(task string) bool {
		return slices.ContainsFunc(dues, func(due day.Due) bool { return due.Task == task })
	}
	if has("bench/backflush-water/group") || !has("bench/hinges") {
		t.Error("what is off falls due, or what is the owner's own does not")
	}
	hinges, err := d.Forecast(t, schedule.Moment{Today: today}).DueOf("hinges")
	// Half a year of 365.2425 days from the day all was new, four times over.
	if err != nil || hinges.Likely == nil || *hinges.Likely != bought+183 || hinges.Cautions[0] != "Mind your fingers." {
		t.Errorf("%v, %+v", err, hinges)
	}
}

// A day before the change sees the catalogue's own figures; a file without the
// section takes the changes back.
func TestChangesHoldFromTheirDay(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	changed, err := d.Journal.SetUp(ctx, today+1, changedHome())
	if err != nil || !slices.Contains(changed.Changed, "care") {
		t.Fatalf("%+v, %v", changed, err)
	}
	months := func(day record.Date) int {
		due, err := d.Forecast(t, schedule.Moment{Today: day}).DueOf("group-gasket")
		if err != nil {
			t.Fatal(err)
		}
		return len(due.Gauges)
	}
	if months(today) != 3 || months(today+1) != 1 {
		t.Errorf("gauges: %d before, %d after", months(today), months(today+1))
	}
	if again, err := d.Journal.SetUp(ctx, today+2, changedHome()); err != nil || !again.Nothing() {
		t.Errorf("the same again: %+v, %v", again, err)
	}
	if _, err := d.Journal.SetUp(ctx, today+3, sample.Home()); err != nil || months(today+3) != 3 {
		t.Errorf("taken back: %d gauges, %v", months(today+3), err)
	}
}

func TestChangesAreChecked(t *testing.T) {
	d, records := sample.Empty(t)
	setup := sample.Home()
	setup.Care.Changes = []record.CareChange{{Task: "polish", Off: true}}
	if _, err := d.Journal.SetUp(context.Background(), today, setup); err == nil || !strings.Contains(err.Error(), `task "polish" is not known`) {
		t.Errorf("got %v", err)
	}
	if len(records.Entries) != 0 {
		t.Errorf("%d records were written", len(records.Entries))
	}
}

// The tasks of a time away rest until one is written down, and then fall due on
// their days.
func TestTimeAwayWakesItsTasks(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx, m := context.Background(), schedule.Moment{Place: "home", Today: today}
	resting, err := d.Forecast(t, m).DueOf("before-absence")
	if err != nil || resting.Rests == "" || resting.Likely != nil {
		t.Fatalf("%+v, %v", resting, err)
	}
	if _, err := records.Append(ctx, record.Entry{Place: "home", Effective: today, Body: record.Away{From: today + 20, To: today + 33, Frost: true}}); err != nil {
		t.Fatal(err)
	}
	for task, want := range map[string]record.Date{"before-absence": today + 19, "frost-storage": today + 19, "restart": today + 34} {
		due, err := d.Forecast(t, m).DueOf(task)
		if err != nil || due.Rests != "" || due.Likely == nil || *due.Likely != want {
			t.Errorf("%s: %v (%v), want %s", task, due.Likely, err, want)
			continue
		}
		if !due.OnItsDay || due.Sitting != nil {
			t.Errorf("%s: on its day %t, sitting %v", task, due.OnItsDay, due.Sitting)
		}
		sample.HoldsAll(t, strings.Join(due.Why, " "), "Nobody draws anything from Sun 22 Mar 2026 to Sat 4 Apr 2026")
	}
	// A workshop has to be called for the draining, three weeks before.
	drain, err := d.Forecast(t, m).DueOf("frost-storage")
	if err != nil || drain.Visit == nil || *drain.Visit != today+19 || drain.CallBy == nil || *drain.CallBy != today {
		t.Errorf("nobody is called for the draining: %+v, %v", drain.CallBy, err)
	}
	issue, err := d.Publisher.Preview(ctx, m)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(issue.Agenda.Entries, func(e agenda.AgendaEntry) bool { return e.Due.Task == "bench/before-absence" })
	if i < 0 || !issue.Agenda.Entries[i].AllDay || record.DateOf(issue.Agenda.Entries[i].Start) != today+19 {
		t.Error("shutting down does not stand in the calendar on its day")
	}
	if _, err := d.Journal.Done(ctx, d.Day(t, schedule.Moment{Place: "home", Today: today + 19}), 0, record.Service{Task: "before-absence"}); err != nil {
		t.Fatal(err)
	}
	if done, err := d.Forecast(t, schedule.Moment{Place: "home", Today: today + 19}).DueOf("before-absence"); err != nil || done.Rests == "" {
		t.Errorf("done, and still due on %v (%v)", done.Likely, err)
	}
}

// A descaling of before the records begin counts as fresh water for the boiler, and yet is not
// the last it had: who descaled it a year ago may well have refreshed it since. A tick of the
// entry that goes out is taken; and once the refreshing itself is written down, that is the last.
func TestOtherWorkOfAnUnknownPastIsNotTheLast(t *testing.T) {
	ctx, m := context.Background(), schedule.Moment{Place: "home", Today: today}
	setup := sample.Home()
	for i := range setup.Equipment {
		setup.Equipment[i].Bought, setup.Equipment[i].RecordsFrom = today-900, today
	}
	d, _ := sample.SetUp(t, setup)
	ask := func() day.Due {
		due, err := d.Forecast(t, m).DueOf("steam-refresh")
		if err != nil {
			t.Fatal(err)
		}
		return due
	}
	write := func(on record.Date, task string) {
		if _, err := d.Journal.Done(ctx, d.Day(t, m), on, record.Service{Task: task}); err != nil {
			t.Fatal(err)
		}
	}
	before := ask()
	write(today-390, "descale/steam")
	if after := ask(); after.Served != 0 || after.Likely == nil || before.Likely == nil || *after.Likely < *before.Likely-14 {
		t.Errorf("after a descaling of a year ago it is due %v, served by record %d; before %v", after.Likely, after.Served, before.Likely)
	}
	uid := sample.EntryOf(t, sample.AgendaOf(t, d, m), before.Task).UID
	if ticked, err := d.Journal.Tick(ctx, d.Day(t, m), journal.Tick{Entry: uid}); err != nil || ticked.Record == 0 {
		t.Errorf("its tick: %+v, %v", ticked, err)
	}
	if after := ask(); after.Fresh != today || after.Served == 0 {
		t.Errorf("ticked off today it is fresh since %s", after.Fresh)
	}
}
