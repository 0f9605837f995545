package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"limekeep/schedule/record"
)

// Programs book a visit, ask what another day would risk, move it and withdraw it.
func TestProgramsBookVisits(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	on := record.DateOf(noon) + 8
	wrote := func(path, body string) (id int64) {
		t.Helper()
		answer, text := ask(t, h, postJSON("/api/v1"+path, body))
		var got struct{ Record int64 }
		if err := json.Unmarshal([]byte(text), &got); answer.StatusCode != http.StatusCreated || err != nil {
			t.Fatalf("%s: %s\n%s", path, answer.Status, text)
		}
		return got.Record
	}
	for _, wrong := range []string{
		`{"on": "2026-03-10", "at": "25:00", "minutes": 60, "tasks": ["bench/descale/steam"]}`,
		`{"on": "2026-03-10", "at": "09:00", "minutes": 60, "tasks": ["teapot"]}`,
		`{"on": "2020-03-10", "at": "09:00", "minutes": 60, "tasks": ["bench/descale/steam"]}`,
		`{"on": "2026-03-10", "at": "09:00", "minutes": 60, "tasks": []}`,
	} {
		if answer, _ := ask(t, h, postJSON("/api/v1/visits", wrong)); answer.StatusCode < 400 || answer.StatusCode >= 500 {
			t.Errorf("%s: %s", wrong, answer.Status)
		}
	}
	id := wrote("/visits", fmt.Sprintf(`{"on": %q, "at": "09:30", "minutes": 75, "by": "Anna", "tasks": ["bench/descale/steam"]}`, on))
	_, text := ask(t, h, get("/api/v1/visits"))
	holds(t, text, fmt.Sprintf(`"record":%d`, id), `"at":"09:30"`, `"by":"Anna"`, `"missed":false`)
	_, text = ask(t, h, get(fmt.Sprintf("/api/v1/visits/risk?record=%d&day=%s", id, on+30)))
	holds(t, text, `"task":"bench/descale/steam"`, `"risk":`, `"risk_before":`)
	_, text = ask(t, h, get(fmt.Sprintf("/api/v1/visits/risk?record=%d", id)))
	holds(t, text, "By "+(on+28).Long())
	moved := wrote("/visits/moves", fmt.Sprintf(`{"record": %d, "on": %q, "at": "11:00"}`, id, on+1))
	if answer, _ := ask(t, h, postJSON("/api/v1/visits/moves", fmt.Sprintf(`{"record": %d, "on": %q, "at": "11:00"}`, id, on+2))); answer.StatusCode != http.StatusNotFound {
		t.Errorf("moved again by its old number: %s", answer.Status)
	}
	wrote("/visits/withdrawals", fmt.Sprintf(`{"record": %d, "why": "ill"}`, moved))
	if _, text = ask(t, h, get("/api/v1/visits")); strings.TrimSpace(text) != "[]" {
		t.Errorf("withdrawn it is still there: %s", text)
	}
	if n := len(records.Of(record.KindBookedVisit)); n != 2 {
		t.Errorf("%d records of visits", n)
	}
	if _, text = ask(t, h, get("/api/v1/service-reports")); strings.TrimSpace(text) != "[]" {
		t.Errorf("reports: %s", text)
	}
}
