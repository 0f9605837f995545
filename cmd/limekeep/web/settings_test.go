package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// shownAs returns a page, and the fields of the form on it that is sent to an address,
// as a browser fills them in.
func shownAs(t *testing.T, h http.Handler, path, action string) url.Values {
	t.Helper()
	_, body := ask(t, h, get(path))
	_, after, found := strings.Cut(body, `action="`+action+`"`)
	if !found {
		t.Fatalf("%s has no form for %s", path, action)
	}
	within, _, _ := strings.Cut(after, "</form>")
	return formValues(t, within)
}

// keep sends a form with some changes and follows where it leads.
func keep(t *testing.T, h http.Handler, path, action string, changes map[string]string) (values url.Values, page string) {
	t.Helper()
	values = shownAs(t, h, path, action)
	for name, value := range changes {
		values.Set(name, value)
	}
	answer, body := ask(t, h, post(action, values))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("%s: status %d\n%s", action, answer.StatusCode, body)
	}
	_, page = ask(t, h, get(answer.Header.Get("Location")))
	return values, page
}

// What is wished of a place is kept as another version of it, and the plan goes by it.
func TestSettingsAreKept(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	_, page := keep(t, h, "/settings", "/settings/times", map[string]string{"times-0-days": "WED", "times-0-clock": "18:30", "times-0-minutes": "90"})
	holds(t, page, `role="status"`, "Written down as record")
	for _, s := range desk.Forecast(t, schedule.Moment{}).Plan().Sittings {
		if at := s.Start.Format("Mon 15:04"); at != "Wed 18:30" {
			t.Fatalf("a sitting is planned for %s", at)
		}
	}
	keep(t, h, "/settings", "/settings/routine", map[string]string{"routine-weekday": "thursday", "routine-minutes": "1"})
	weekly := false
	for _, r := range desk.Forecast(t, schedule.Moment{}).Plan().Rounds {
		if r.EveryDays == 7 {
			weekly = true
			if r.From.Weekday().String() != "Thursday" || !strings.Contains(r.Says, "more than you have for it") {
				t.Errorf("the weekly round is on %s: %s", r.From.Weekday(), r.Says)
			}
		}
	}
	if !weekly {
		t.Error("there is no weekly round to look at")
	}
	keep(t, h, "/settings", "/settings/prices", map[string]string{"prices-currency": "EUR", "prices-hour": "30"})
	_, body := ask(t, h, get("/plan"))
	holds(t, body, "At 30.00 EUR an hour of your time")
	keep(t, h, "/settings", "/settings/place", map[string]string{"place-hardness": "mmol/L"})
	_, body = ask(t, h, get("/water"))
	holds(t, body, "mmol/L of hardness (", ">mmol/L</text>")
	values, page := keep(t, h, "/settings", "/settings/place", map[string]string{"place-name": hostileName})
	if strings.Contains(page, hostileName) {
		t.Error("a name is shown as it stands")
	}
	place := lastPlace(t, records)
	if place.Name != hostileName || len(place.Times) != 1 || place.Routine.Weekday != "thursday" || place.Prices.Hour != 30 {
		t.Errorf("kept: %+v", place)
	}
	// Sent again it writes nothing; sent anew, unchanged, it says so.
	before := records.Last().ID
	if answer, _ := ask(t, h, post("/settings/place", values)); answer.StatusCode != http.StatusSeeOther || records.Last().ID != before {
		t.Errorf("sent again: status %d, record %d", answer.StatusCode, records.Last().ID)
	}
	if _, page := keep(t, h, "/settings", "/settings/place", nil); !strings.Contains(page, "Nothing was changed") || records.Last().ID != before {
		t.Errorf("unchanged: record %d\n%s", records.Last().ID, page)
	}
}

const hostileName = `<script>alert("x")</script> & 'quoted'`

func lastPlace(t *testing.T, records *sample.Records) record.Place {
	t.Helper()
	all := records.Of(record.KindPlace)
	return all[len(all)-1].Body.(record.Place)
}

// What cannot be taken is said beside its field, with what was typed still there, and
// nothing is written.
func TestSettingsAreRefused(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	before := records.Last().ID
	for _, c := range []struct{ path, action, input, typed string }{
		{"/settings", "/settings/place", "place-zone", "Mars/Olympus"},
		{"/settings", "/settings/times", "times-0-minutes", "4"},
		{"/settings", "/settings/entries", "entries-done", "many"},
		{"/settings/equipment/bench", "/settings/equipment/bench", "vessels-1-litres", "400"},
		{"/settings/equipment/bench", "/settings/equipment/bench", "bought", "2031-01-01"},
		{"/settings/equipment/bench", "/settings/equipment/bench", "water_line", "moon"},
		{"/settings/equipment/tap", "/settings/equipment/tap", "treatment-0-fitted", "2031-01-01"},
		{"/settings/equipment/grinder", "/settings/equipment/grinder", "burr_diameter_mm", "7 cm"},
	} {
		values := shownAs(t, h, c.path, c.action)
		values.Set("times-0-days", "SAT")
		values.Set("times-0-clock", "10:00")
		values.Set(c.input, c.typed)
		answer, body := ask(t, h, post(c.action, values))
		if answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d", c.input, answer.StatusCode)
		}
		holds(t, body, `id="`+c.input+`-problem"`, `href="#`+c.input+`"`)
		if c.input != "water_line" { // of a choice that there is not, nothing is left to show
			holds(t, body, `value="`+c.typed+`"`)
		}
	}
	for _, c := range []struct {
		path   string
		status int
	}{{"/settings/nothing", 404}, {"/settings/equipment/none", 404}, {"/settings/equipment/none/retire", 404}} {
		if answer, _ := ask(t, h, post(c.path, url.Values{})); answer.StatusCode != c.status {
			t.Errorf("%s: status %d", c.path, answer.StatusCode)
		}
	}
	if records.Last().ID != before {
		t.Errorf("%+v was written", records.Last())
	}
}

// A machine is changed on its page and goes on with its history; it leaves the place
// with what hung on it, and comes back under its id.
func TestEquipmentIsChangedAndRetired(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	_, page := keep(t, h, "/settings/equipment/bench", "/settings/equipment/bench", map[string]string{"name": hostileName, "habit-weekday_shots": "9", "vessels-2-add": "yes", "vessels-2-kind": "thermoblock"})
	if strings.Contains(page, hostileName) {
		t.Error("a name is shown as it stands")
	}
	all := records.Of(record.KindEquipment)
	bench := all[len(all)-1].Body.(record.Equipment)
	if bench.ID != "bench" || bench.Name != hostileName || bench.Machine.Habit.WeekdayShots != 9 || len(bench.Machine.Vessels) != 3 || bench.Machine.Vessels[2].ID == "" || bench.RecordsFrom.IsZero() {
		t.Errorf("kept: %+v", bench)
	}
	if due, err := desk.Forecast(t, schedule.Moment{}).DueOf("bench/descale/brew"); err != nil || due.LastService == nil {
		t.Errorf("its history is lost: %+v, %v", due, err)
	}
	// Weekends that nothing is said of are as other days; who is closed says 0.
	for _, c := range []struct {
		typed string
		want  float64
	}{{"", 9}, {"0", 0}, {"4", 4}} {
		keep(t, h, "/settings/equipment/bench", "/settings/equipment/bench", map[string]string{"habit-weekend_shots": c.typed})
		all := records.Of(record.KindEquipment)
		if habit := all[len(all)-1].Body.(record.Equipment).Machine.Habit; habit.WeekendShots != c.want || habit.WeekdayShots != 9 {
			t.Errorf("%q typed for weekends: %v, and %v on other days", c.typed, habit.WeekendShots, habit.WeekdayShots)
		}
		if _, page := ask(t, h, get("/settings/equipment/bench")); !strings.Contains(page, fmt.Sprintf(`name="habit-weekend_shots" value="%v"`, c.want)) {
			t.Errorf("%q typed for weekends is not shown as %v", c.typed, c.want)
		}
	}
	answer, body := ask(t, h, post("/settings/equipment/tap/retire", url.Values{}))
	if answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a line that a machine hangs on has left: status %d", answer.StatusCode)
	}
	holds(t, body, "cannot be taken out yet")
	keep(t, h, "/settings/equipment/grinder/retire", "/settings/equipment/grinder/retire", nil)
	if got := records.Of(record.KindRetired); len(got) != 1 || got[0].Body.(record.Retired).Equipment != "grinder" {
		t.Errorf("retired: %+v", got)
	}
	if answer, _ := ask(t, h, get("/settings/equipment/grinder")); answer.StatusCode != http.StatusNotFound {
		t.Errorf("it is still there: status %d", answer.StatusCode)
	}
}
