package agenda_test

import (
	"os"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// quietHouseholds live from day to day: two that are up to date, one with two years of
// records, a machine of unknown past, a bar.
func quietHouseholds(t *testing.T) map[string]func() *sample.Kitchen {
	tested := func(s schedule.Setup) func() *sample.Kitchen {
		return func() *sample.Kitchen {
			k, _ := sample.SetUp(t, s)
			if _, err := k.Journal.AddWaterTest(t.Context(), k.Day(t, at), today-7, record.WaterTest{Line: "tap", Test: sample.DropTest(14, 11)}); err != nil {
				t.Fatal(err)
			}
			return k
		}
	}
	unknown := sample.Home()
	for i := range unknown.Equipment {
		e := &unknown.Equipment[i]
		e.Bought, e.RecordsFrom, e.Used = today-30, today-30, true
	}
	return map[string]func() *sample.Kitchen{
		"hard mains": tested(upToDate(false)),
		"soft tank":  tested(upToDate(true)),
		"unknown":    tested(unknown),
		"lived in":   func() *sample.Kitchen { k, _ := sample.LivedIn(t); return k },
		"bar":        func() *sample.Kitchen { k, _ := sample.SetUp(t, sample.Bar()); return k },
	}
}

// shownAs is what calendars show of what is to come, by UID.
func shownAs(a agenda.Agenda) map[string]string {
	shown := map[string]string{}
	for _, e := range a.Entries {
		shown[e.UID] = e.Content()
	}
	for _, e := range a.Sittings {
		shown[e.UID] = e.Content()
	}
	for _, e := range a.Visits {
		shown[e.UID] = e.Content()
	}
	return shown
}

// On a day on which nothing happened, but that one more passed, fewer than one entry in two
// hundred shows anything else than on the day before: of sittings, of visits and of single
// tasks. What stands on a day is done on it; the day after such a one is not quiet.
func TestQuietDays(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	days, worlds, effort := record.Date(9), 25, 200_000
	soak := os.Getenv("LIMEKEEP_SOAK") != ""
	if soak {
		days, worlds, effort = 365, 100, 0
	}
	all, other := 0, 0
	for name, set := range quietHouseholds(t) {
		if !soak && name != "hard mains" && name != "bar" {
			continue
		}
		k := set()
		wasWorlds, wasEffort := k.Worlds, k.PlanEffort
		k.Worlds, k.PlanEffort = worlds, effort
		var was map[string]string
		told := agenda.Agenda{}
		seen, changed := 0, 0
		for on := today; on < today+days; on++ {
			k.Now = func() time.Time { return on.In(time.UTC).Add(12 * time.Hour) }
			issue, err := k.Publisher.Publish(t.Context(), schedule.Moment{Today: on})
			if err != nil {
				t.Fatal(err)
			}
			now := shownAs(issue.Agenda)
			for uid, before := range was {
				seen++
				if after := now[uid]; after != before {
					changed++
					t.Logf("%s, %s: %q was %q", name, on, tellEntry(uid, issue.Agenda), tellEntry(uid, told))
				}
			}
			was, told = now, issue.Agenda
			for _, s := range issue.Forecast.Sittings() {
				if s.Date() != on {
					continue
				}
				was = nil
				for _, turn := range s.Turns {
					k.DoTask(t, k.Day(t, schedule.Moment{Today: on}), turn.Task)
				}
			}
		}
		k.Worlds, k.PlanEffort, k.Now = wasWorlds, wasEffort, func() time.Time { return noon }
		t.Logf("%s, %d days: %d of %d entries show something else on a day when nothing happened (%.2f %%)", name, days, changed, seen, 100*float64(changed)/float64(seen))
		all, other = all+seen, other+changed
	}
	t.Logf("%d of %d entries show something else (%.2f %%)", other, all, 100*float64(other)/float64(all))
	if 200*other >= all {
		t.Errorf("%d of %d entries show something else on a day when nothing happened, want fewer than 0.5 %%", other, all)
	}
}

// tellEntry says what an entry shows.
func tellEntry(uid string, a agenda.Agenda) string {
	for _, e := range a.Entries {
		if e.UID == uid {
			return e.Start.Format(time.DateOnly) + " " + e.Due.Title + ": " + e.Due.WindowSentence()
		}
	}
	for _, e := range a.Sittings {
		if e.UID == uid {
			text := e.Sitting.Start.Format(time.DateOnly) + " " + e.Summary
			for _, task := range e.Tasks {
				text += "; " + task.Title + ": " + task.Says
			}
			for _, step := range e.Sitting.Steps {
				text += step.At.Format(" 15:04 ") + step.Says
			}
			return text
		}
	}
	for _, e := range a.Visits {
		if e.UID == uid {
			return e.Day.String() + " " + e.Summary
		}
	}
	return uid + " is gone"
}
