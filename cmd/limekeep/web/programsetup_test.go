package web_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/intake/busycal"
	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// What the pages of settings, shot logs and the own calendar show and take, programs read
// and give: the place, equipment, retiring, files.
func TestProgramsSetUpAndBringFiles(t *testing.T) {
	desk, records := kitchen(t)
	own := &busycal.Kept{Store: &sample.OwnCalendars{}, Now: func() time.Time { return noon }}
	desk.Busy = own.Busy
	h := open(desk, func(s *web.Server) { s.OwnCal = own })
	send := func(path string, body any, status int, says ...string) {
		t.Helper()
		text, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		answer, got := ask(t, h, postJSON("/api/v1"+path, string(text)))
		if answer.StatusCode != status {
			t.Errorf("%s: status %d\n%s", path, answer.StatusCode, got)
		}
		holds(t, got, says...)
	}
	var is struct {
		Place     record.Place
		Equipment []record.Equipment
		Care      record.OwnCare
	}
	_, body := ask(t, h, get("/api/v1/description"))
	if err := json.Unmarshal([]byte(body), &is); err != nil || len(is.Equipment) != 3 {
		t.Fatalf("%v in\n%s", err, body)
	}
	is.Place.Routine = &record.RoutineWishes{Weekday: "monday"}
	grinder := is.Equipment[1]
	grinder.Name = "Another name"
	send("/description", map[string]any{"place": is.Place, "equipment": []record.Equipment{grinder, {Tools: &record.Tools{Setting: record.Home, Have: []record.Tool{record.Tamper}}}}}, 200, `"changed":["home","grinder"]`, `"added":["tools"]`)
	send("/description", map[string]any{"place": is.Place}, 200, `"changed":[]`)
	is.Place.Zone = "Mars/Olympus"
	send("/description", map[string]any{"place": is.Place}, 422, "place.zone")
	send("/retirements", map[string]string{"equipment": "tools"}, 200, `"retired":["tools"]`)
	send("/retirements", map[string]string{"equipment": "tools"}, 404, "tools")
	if place := lastPlace(t, records); place.Routine.Weekday != "monday" || records.Last().Source != "program" {
		t.Errorf("kept: %+v from %s", place, records.Last().Source)
	}
	log := "date,shots,dose_g,Wasser\n2026-02-02,2,18,0\n"
	send("/use-files", map[string]any{"csv": log, "preview": true}, 422, "columns", "ignore")
	told := map[string]any{"csv": log, "name": "log.csv", "columns": map[string]string{"hot_water_ml": "Wasser"}, "preview": true}
	send("/use-files", told, 200, `"preview":true`, "doses", `"added":1`)
	told["preview"] = false
	send("/use-files", told, 422, "what it leaves open: row 1", `doses \"each\" or \"together\"`)
	before := records.Last().ID
	told["doses"] = "each"
	send("/use-files", told, 200, `"shots":2`, `"added":1`)
	if records.Last().ID == before {
		t.Error("nothing was written")
	}
	large := log + strings.Repeat("2026-02-03,1,18,0\n", 20_000)
	told["csv"], told["preview"] = large, true
	send("/use-files", told, 200, `"added":20000`) // larger than any form
	send("/own-calendar", map[string]string{"calendar": string(busyEvery("080000")), "name": "mine.ics"}, 200, `"name":"mine.ics"`)
	send("/own-calendar", map[string]string{"calendar": "hello"}, 422, "iCalendar")
	send("/own-calendar", map[string]bool{"remove": true}, 200, `"name":""`)
	if answer, _ := ask(t, h, get("/api/v1/own-calendar")); answer.StatusCode != http.StatusOK {
		t.Errorf("status %d", answer.StatusCode)
	}
}
