package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// A task of the owner's own is added, falls due, is changed and taken away; one of the
// catalogue is switched off and on again.
func TestOwnTasksAreKept(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	own := func() record.OwnCare {
		all := records.Of(record.KindOwnCare)
		return all[len(all)-1].Body.(record.OwnCare)
	}
	_, page := keep(t, h, "/settings/care", "/settings/care/tasks", map[string]string{"tasks-0-add": "yes", "tasks-0-title": "Öl die Scharniere!", "tasks-0-equipment": "bench", "tasks-0-months": "2", "tasks-0-steps": "Wipe.\r\n\r\n Oil. "})
	holds(t, page, `role="status"`, "Öl die Scharniere!")
	if got := own().Tasks; len(got) != 1 || got[0].ID != "own-l-die-scharniere" || got[0].Months != 2 || len(got[0].Steps) != 2 || got[0].Steps[1] != "Oil." {
		t.Fatalf("kept: %+v", got)
	}
	if due, err := desk.Forecast(t, schedule.Moment{}).DueOf("bench/own-l-die-scharniere"); err != nil || due.Likely == nil {
		t.Errorf("it does not fall due: %+v, %v", due, err)
	}
	_, page = keep(t, h, "/settings/care", "/settings/care/tasks", map[string]string{"tasks-0-title": hostileName, "tasks-0-months": "", "tasks-0-driver": "shots", "tasks-0-limit": "500"})
	if got := own().Tasks[0]; got.ID != "own-l-die-scharniere" || got.Driver != "shots" || got.Limit != 500 || strings.Contains(page, hostileName) {
		t.Errorf("kept: %+v", got)
	}
	keep(t, h, "/settings/care", "/settings/care/tasks", map[string]string{"tasks-0-off": "yes"})
	if got := own().Tasks; len(got) != 0 {
		t.Errorf("kept: %+v", got)
	}
	_, page = keep(t, h, "/settings/care", "/settings/care/off", map[string]string{"off-task": "bench/group-gasket/group"})
	holds(t, page, "Switch it on again")
	if duty, err := desk.Day(t, schedule.Moment{}).Duty("bench/group-gasket/group"); err != nil || !duty.Off {
		t.Errorf("it still falls due: %+v, %v", duty.Off, err)
	}
	keep(t, h, "/settings/care", "/settings/care/on", nil)
	if duty, err := desk.Day(t, schedule.Moment{}).Duty("bench/group-gasket/group"); err != nil || duty.Off {
		t.Errorf("it does not fall due again: %v", err)
	}
	before := records.Last().ID
	for _, c := range []struct {
		path  string
		form  url.Values
		input string
	}{
		{"/settings/care/tasks", url.Values{"tasks-0-add": {"yes"}, "tasks-0-title": {"x"}, "tasks-0-equipment": {"bench"}}, "tasks-0-months"},
		{"/settings/care/tasks", url.Values{"tasks-0-add": {"yes"}, "tasks-0-title": {""}, "tasks-0-equipment": {"bench"}, "tasks-0-days": {"9"}}, "tasks-0-title"},
		{"/settings/care/tasks", url.Values{"tasks-0-add": {"yes"}, "tasks-0-title": {"x"}, "tasks-0-equipment": {"moon"}, "tasks-0-days": {"9"}}, "tasks-0-equipment"},
		{"/settings/care/off", url.Values{"off-task": {"bench/electrical-check"}}, "off-note"},
		{"/settings/care/off", url.Values{"off-task": {"moon"}}, "off-task"},
	} {
		answer, body := ask(t, h, post(c.path, c.form))
		if answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%v: status %d", c.form, answer.StatusCode)
		}
		holds(t, body, `id="`+c.input+`-problem"`)
	}
	if records.Last().ID != before {
		t.Errorf("%+v was written", records.Last())
	}
}
