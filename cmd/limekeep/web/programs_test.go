package web_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule/record"
)

// postJSON is a request as a program sends it.
func postJSON(path, body string) *http.Request {
	r := httptest.NewRequest(http.MethodPost, path, bytes.NewBufferString(body))
	r.Header.Set("Content-Type", "application/json")
	return r
}

// described is what the tests read of the description.
type described struct {
	OpenAPI string `json:"openapi"`
	Paths   map[string]map[string]struct {
		OperationID string `json:"operationId"`
		Responses   map[string]any
	}
	Components struct {
		Schemas map[string]struct {
			Properties map[string]any `json:"properties"`
		} `json:"schemas"`
	}
}

// The description is of OpenAPI 3.1 and names every address; what is asked there
// answers with what it says.
func TestProgramsAreDescribed(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	answer, body := ask(t, h, get("/api/v1/openapi.json"))
	if answer.StatusCode != http.StatusOK {
		t.Fatalf("status %d", answer.StatusCode)
	}
	var d described
	if err := json.Unmarshal([]byte(body), &d); err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(d.OpenAPI, "3.1.") || len(d.Paths) < 14 {
		t.Fatalf("version %q with %d addresses", d.OpenAPI, len(d.Paths))
	}
	if due := d.Components.Schemas["DayDue"]; due.Properties["likely"] == nil || due.Properties["why"] == nil {
		t.Errorf("what is due is described as %v", due.Properties)
	}
	for path, methods := range d.Paths {
		if _, ok := methods["get"]; !ok {
			continue
		}
		path = strings.NewReplacer("/water/{id}", "/water/tap", "{id}", "bench", "{vessel}", "steam").Replace(path)
		if path == "/api/v1/task" || path == "/api/v1/position" {
			path += "?task=bench/descale/steam"
		}
		if path == "/api/v1/visits/risk" {
			continue // of a visit that was booked: in visitsprograms_test.go
		}
		answer, body := ask(t, h, get(path))
		if answer.StatusCode != http.StatusOK || !json.Valid([]byte(body)) {
			t.Errorf("%s: status %d\n%.200s", path, answer.StatusCode, body)
		}
	}
}

// A descaling is planned for another acid, and what no bath can hold is refused.
func TestProgramsAskForADescaling(t *testing.T) {
	desk, _ := kitchen(t)
	h := open(desk)
	const address = "/api/v1/machines/bench/vessels/steam/descaling"
	_, body := ask(t, h, get(address+"?acid=lactic+acid&litres=1"))
	holds(t, body, `"lactic acid"`, `"cautions":[`, `"make_safe":[`)
	for _, query := range []string{"?litres=0.001", "?acid=vinegar"} {
		if answer, body := ask(t, h, get(address+query)); answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d\n%s", query, answer.StatusCode, body)
		}
	}
}

// A flow meter on the water line posts its litres, and the forecast counts them.
func TestFlowMeterPostsLitres(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	for _, reading := range []string{`{"litres": 100, "on": "2026-02-20"}`, `{"litres": 131.5}`} {
		if answer, body := ask(t, h, postJSON("/api/v1/meter-readings", reading)); answer.StatusCode != http.StatusCreated || !strings.Contains(body, `"record":`) {
			t.Fatalf("%s: status %d\n%s", reading, answer.StatusCode, body)
		}
	}
	got := records.Of(record.KindMeterReading)
	if len(got) != 2 || got[1].Body.(record.MeterReading).Litres != 131.5 || got[1].Source != "program" {
		t.Errorf("kept: %+v", got)
	}
	answer, body := ask(t, h, postJSON("/api/v1/meter-readings", `{"litres": 20}`))
	if answer.StatusCode != http.StatusUnprocessableEntity || answer.Header.Get("Content-Type") != "application/problem+json" || !strings.Contains(body, "detail") {
		t.Errorf("a meter that runs backwards: status %d\n%s", answer.StatusCode, body)
	}
}

// Home automation reads what is due.
func TestHomeAutomationReadsWhatIsDue(t *testing.T) {
	desk, _ := readKitchen(t)
	_, body := ask(t, open(desk), get("/api/v1/summary"))
	var got struct {
		Today   string
		Overdue *int
		Next    *struct{ Title, Likely string }
	}
	if err := json.Unmarshal([]byte(body), &got); err != nil {
		t.Fatal(err)
	}
	if got.Today != "2026-03-02" || got.Overdue == nil || got.Next == nil || got.Next.Title == "" || got.Next.Likely < got.Today {
		t.Errorf("it reads %s", body)
	}
}

// What the pages take, programs can give: work done, tests, use, bags, taking back.
func TestProgramsWriteDown(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	for _, c := range []struct {
		path, body string
		kind       record.Kind
	}{
		{"/services", `{"task": "bench/descale/steam", "finding": "film", "grams": 2.5, "on": "2026-03-01"}`, record.KindService},
		{"/water-tests", `{"values": [{"quantity": "hardness", "value": 14, "unit": "dH", "method": "drop"}]}`, record.KindWaterTest},
		{"/use", `{"shots": 4, "steamed": 2}`, record.KindUse},
		{"/bags", `{"grams": 250, "opened": "2026-02-20"}`, record.KindBag},
		{"/measurements", `{"task": "bench/pump-pressure", "bar": 9.1}`, record.KindMeasurement},
		{"/moves", `{"task": "bench/group-gasket", "move": "to", "to": "2026-03-20"}`, record.KindPin},
		{"/blocked-days", `{"from": "2026-03-12", "to": "2026-03-13"}`, record.KindBlocked},
		{"/stock", `{"item": "group gasket", "count": 2}`, record.KindStock},
		{"/aways", `{"from": "2026-04-01"}`, record.KindAway},
		{"/aways/ends", `{"last": "2026-04-09"}`, record.KindAway},
		{"/guests", `{"from": "2026-05-01", "to": "2026-05-03", "shots": 8}`, record.KindGuests},
		{"/limits", `{"task": "bench/group-gasket", "months": 9, "by": "maker"}`, record.KindOwnCare},
	} {
		before := len(records.Of(c.kind))
		answer, body := ask(t, h, postJSON("/api/v1"+c.path, c.body))
		if answer.StatusCode != http.StatusCreated || len(records.Of(c.kind)) != before+1 {
			t.Errorf("%s: status %d\n%s", c.path, answer.StatusCode, body)
		}
	}
	service := records.Of(record.KindService)
	last := service[len(service)-1]
	if s := last.Body.(record.Service); s.Finding != record.Film || s.Grams != 2.5 || last.Effective != record.NewDate(2026, 3, 1) {
		t.Errorf("the service was kept as %+v", last)
	}
	_, use := ask(t, h, get("/api/v1/use?by=month"))
	_, stock := ask(t, h, get("/api/v1/stock"))
	_, days := ask(t, h, get("/api/v1/blocked-days"))
	_, aways := ask(t, h, get("/api/v1/aways"))
	_, asked := ask(t, h, get("/api/v1/position?task=bench/group-gasket&day=2026-03-25"))
	holds(t, use, `"by":"month"`)
	holds(t, stock, `"item":"group gasket`, `"count":2`)
	holds(t, days, `"from":"2026-03-12","to":"2026-03-13"`)
	holds(t, aways, "2026-04-09")
	holds(t, asked, `"fixed":"2026-03-20"`, `"to":"2026-03-25"`, "there would be a")
	for path, c := range map[string]struct {
		body   string
		status int
	}{
		"/measurements": {`{"task": "bench/pump-pressure", "bar": 900}`, http.StatusUnprocessableEntity},
		"/moves":        {`{"task": "bench/group-gasket", "move": "waltz"}`, http.StatusUnprocessableEntity},
		"/limits":       {`{"task": "bench/group-gasket", "months": 9000}`, http.StatusUnprocessableEntity},
		"/services":     {`{"task": "none"}`, http.StatusNotFound},
		"/water-tests":  {`{"values": [{"quantity": "hardness", "value": 14, "unit": "furlong", "method": "drop"}]}`, http.StatusUnprocessableEntity},
		"/use":          {`{"shots": "many"}`, http.StatusUnprocessableEntity},
		"/bags":         {`{`, http.StatusBadRequest},
	} {
		if answer, body := ask(t, h, postJSON("/api/v1"+path, c.body)); answer.StatusCode != c.status {
			t.Errorf("%s with %s: status %d, want %d\n%s", path, c.body, answer.StatusCode, c.status, body)
		}
	}
	if !slices.ContainsFunc(records.Of(record.KindUse), func(e record.Entry) bool { return e.Source == "program" }) {
		t.Error("nobody can tell that a program wrote it down")
	}
}

// A smart plug posts the hours that the machine was hot, day by day; sent again, the
// last counts.
func TestSmartPlugPostsHoursHot(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	for _, hours := range []string{"2.5", "3.25"} {
		if answer, body := ask(t, h, postJSON("/api/v1/hot-hours", `{"hours": `+hours+`, "on": "2026-03-01"}`)); answer.StatusCode != http.StatusCreated {
			t.Fatalf("status %d\n%s", answer.StatusCode, body)
		}
	}
	if n := len(records.Of(record.KindHotHours)); n != 2 {
		t.Errorf("%d records were kept", n)
	}
	_, history := ask(t, h, get("/api/v1/history"))
	holds(t, history, "bench hot for 3.25 hours")
	if answer, _ := ask(t, h, postJSON("/api/v1/hot-hours", `{"hours": 25}`)); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a day of 25 hours: status %d", answer.StatusCode)
	}
}
