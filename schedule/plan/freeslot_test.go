package plan

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

// starts lists slots as their place's clock and UTC show them.
func starts(slots []Slot) []string {
	var all []string
	for _, s := range slots {
		all = append(all, s.Start.Format("Mon 2006-01-02 15:04 -0700")+" = "+s.Start.UTC().Format("02 15:04"))
	}
	return all
}

// The hours are those of the IANA time zone database, 2024 and later: clocks in
// Vienna go from 2:00 to 3:00 on 29 March 2026 and back from 3:00 to 2:00 on 25
// October; Lord Howe moves by half an hour, India stands at five and a half hours.
func TestSlotsOnTheClockOfThePlace(t *testing.T) {
	for _, c := range []struct {
		name, zone, when string
		first, last      record.Date
		want             []string
	}{
		{"weekly, over both changes of clocks", "Europe/Vienna", "0 10 * * SUN", record.NewDate(2026, 3, 22), record.NewDate(2026, 3, 29),
			[]string{"Sun 2026-03-22 10:00 +0100 = 22 09:00", "Sun 2026-03-29 10:00 +0200 = 29 08:00"}},
		{"in the hour that is left out it shifts forward", "Europe/Vienna", "30 2 * * *", record.NewDate(2026, 3, 28), record.NewDate(2026, 3, 30),
			[]string{"Sat 2026-03-28 02:30 +0100 = 28 01:30", "Sun 2026-03-29 03:30 +0200 = 29 01:30", "Mon 2026-03-30 02:30 +0200 = 30 00:30"}},
		{"in the hour that comes twice it is held once, the first time", "Europe/Vienna", "30 2 * * *", record.NewDate(2026, 10, 24), record.NewDate(2026, 10, 26),
			[]string{"Sat 2026-10-24 02:30 +0200 = 24 00:30", "Sun 2026-10-25 02:30 +0200 = 25 00:30", "Mon 2026-10-26 02:30 +0100 = 26 01:30"}},
		{"a leap day", "Europe/Vienna", "0 9 29 2 *", record.NewDate(2026, 1, 1), record.NewDate(2029, 1, 1),
			[]string{"Tue 2028-02-29 09:00 +0100 = 29 08:00"}},
		{"half an hour from the hour", "Asia/Kolkata", "0 10 * * SAT", record.NewDate(2026, 3, 7), record.NewDate(2026, 3, 7),
			[]string{"Sat 2026-03-07 10:00 +0530 = 07 04:30"}},
		{"a change by half an hour", "Australia/Lord_Howe", "15 2 * * *", record.NewDate(2026, 10, 4), record.NewDate(2026, 10, 5),
			[]string{"Sun 2026-10-04 02:45 +1100 = 03 15:45", "Mon 2026-10-05 02:15 +1100 = 04 15:15"}},
		{"a day that never was, when Samoa changed sides of the date line", "Pacific/Apia", "0 10 * * *", record.NewDate(2011, 12, 29), record.NewDate(2011, 12, 31),
			[]string{"Thu 2011-12-29 10:00 -1000 = 29 20:00", "Sat 2011-12-31 10:00 +1400 = 30 20:00"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			slots, err := Slots(record.Place{ID: "p", Zone: c.zone, Times: []record.PreferredTime{{When: c.when, Minutes: 90}}}, c.first, c.last)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, starts(slots)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// A day the owner names gets the hour of the first preferred time.
func TestSlotOn(t *testing.T) {
	place := record.Place{ID: "p", Zone: "Asia/Kolkata", Times: []record.PreferredTime{{When: "45 18 * * FRI", Minutes: 75}}}
	slot, err := SlotOn(place, record.NewDate(2028, 2, 29))
	if err != nil {
		t.Fatal(err)
	}
	if got := starts([]Slot{slot})[0]; got != "Tue 2028-02-29 18:45 +0530 = 29 13:15" || slot.Minutes != 75 {
		t.Errorf("%s, %v minutes", got, slot.Minutes)
	}
}

// Slots that anything busy touches are gone; those that only meet it stay.
func TestFree(t *testing.T) {
	at := func(hour, minute int) time.Time { return time.Date(2026, 3, 7, hour, minute, 0, 0, time.UTC) }
	slot := Slot{Start: at(10, 0), Minutes: 120}
	for _, c := range []struct {
		name string
		busy Busy
		free bool
	}{
		{"before", Busy{at(9, 0), at(10, 0)}, true},
		{"after", Busy{at(12, 0), at(13, 0)}, true},
		{"into its beginning", Busy{at(9, 0), at(10, 1)}, false},
		{"into its end", Busy{at(11, 59), at(12, 30)}, false},
		{"within", Busy{at(10, 30), at(10, 45)}, false},
		{"the whole day", Whole(record.NewDate(2026, 3, 7), record.NewDate(2026, 3, 7), time.UTC), false},
		{"the day before", Whole(record.NewDate(2026, 3, 1), record.NewDate(2026, 3, 6), time.UTC), true},
	} {
		if got := len(Free([]Slot{slot}, []Busy{c.busy})) == 1; got != c.free {
			t.Errorf("%s: free %v, want %v", c.name, got, c.free)
		}
	}
}

// A place with a slot every day is thinned to the longest of each later week,
// the same ones tomorrow, and never loses a day to keep.
func TestThin(t *testing.T) {
	place := record.Place{ID: "p", Zone: "UTC", Times: []record.PreferredTime{{When: "0 20 * * *", Minutes: 60}, {When: "0 10 * * SAT", Minutes: 120}}}
	slots, err := Slots(place, testToday, testToday.AddMonths(18))
	if err != nil {
		t.Fatal(err)
	}
	keep := []record.Date{testToday + 400}
	today, tomorrow := Thin(slots, testToday, keep), Thin(slots, testToday+1, keep)
	has := func(slots []Slot, day record.Date) bool {
		for _, s := range slots {
			if s.Date() == day {
				return true
			}
		}
		return false
	}
	if !has(today, testToday+400) {
		t.Error("the day to keep is gone")
	}
	for _, s := range today {
		if s.Date() > testToday && !has(tomorrow, s.Date()) {
			t.Errorf("%v was there today and is gone tomorrow", s.Start)
		}
	}
	if n := len(today); n < 150 || n > 250 {
		t.Errorf("%d of %d slots are left", n, len(slots))
	}
}

// A place that moves to another zone keeps its plan: the days stay, and the
// hours are those of the new clock.
func TestPlaceMovesToAnotherZone(t *testing.T) {
	plan := func(zone string, published [][]record.Date) (Plan, []Task) {
		slots, err := Slots(record.Place{ID: "p", Zone: zone}, testToday, testToday.AddMonths(6))
		if err != nil {
			t.Fatal(err)
		}
		r := &Request{Today: testToday, Until: testToday.AddMonths(6), Prices: UsualPrices(), Slots: slots}
		for i, days := range []float64{20, 45, 80} {
			task := invented(string(rune('a'+i)), 30, days, 0.3, 10)
			if published != nil {
				task.Published = published[i]
			}
			r.Tasks = append(r.Tasks, task)
		}
		return made(r), r.Tasks
	}
	before, tasks := plan("Europe/Vienna", nil)
	var days [][]record.Date
	for _, task := range tasks {
		days = append(days, before.Days(task.ID))
	}
	after, _ := plan("America/St_Johns", days)
	for i, task := range tasks {
		if diff := cmp.Diff(days[i], after.Days(task.ID)); diff != "" {
			t.Errorf("%s: %s", task.ID, diff)
		}
	}
	if got := after.Sittings[0].Start.Format("15:04 MST"); got != "10:00 NDT" && got != "10:00 NST" {
		t.Errorf("the first sitting is at %s, want ten on the new clock", got)
	}
}
