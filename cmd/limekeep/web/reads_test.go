package web_test

import (
	"net/http"
	"net/url"
	"testing"
)

// A page and a form read the whole book once, however much they show of it; what
// is shown next without anything written in between reads nothing.
func TestPagesReadTheBookOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	const gasket = "/tasks/bench/group-gasket/group"
	today := noon.Format("2006-01-02")
	for _, c := range []struct {
		name    string
		request *http.Request
		status  int
	}{
		{"what is due", get("/"), http.StatusOK},
		{"a task", get(gasket), http.StatusOK},
		{"a task that a reading does", get("/tasks/grinder/shot-time"), http.StatusOK},
		{"the plan", get("/plan"), http.StatusOK},
		{"use", get("/use"), http.StatusOK},
		{"history", get("/history"), http.StatusOK},
		{"the score", get("/score"), http.StatusOK},
		{"taking back", get("/history/6/take-back"), http.StatusOK},
		{"the form of a water test", get("/water/new"), http.StatusOK},
		{"the calendar's page", get("/calendar"), http.StatusOK},
		{"a line's water", get("/water"), http.StatusOK},
		{"a machine", get("/equipment/bench"), http.StatusOK},
		{"a vessel", get("/equipment/bench/steam"), http.StatusOK},
		{"what is due as JSON", get("/api/due"), http.StatusOK},
		{"a service", post(gasket+"/done", url.Values{"date": {today}}), http.StatusSeeOther},
		{"a service that cannot be", post(gasket+"/done", url.Values{"date": {"2031-01-01"}}), http.StatusUnprocessableEntity},
		{"a reading", post("/tasks/bench/pump-pressure/reading", url.Values{"date": {today}, "bar": {"9"}}), http.StatusSeeOther},
		{"a move", post(gasket+"/move", url.Values{"move": {"next"}}), http.StatusSeeOther},
		{"a water test", post("/water", measured()), http.StatusSeeOther},
		{"use of a day", post("/use/shots", url.Values{"shots-shots": {"4"}, "shots-date": {today}}), http.StatusSeeOther},
		{"a record taken back", post("/history/6/take-back", url.Values{}), http.StatusSeeOther},
	} {
		t.Run(c.name, func(t *testing.T) {
			desk, records := kitchen(t)
			h := open(desk)
			before := records.Reads
			answer, body := ask(t, h, c.request)
			if answer.StatusCode != c.status {
				t.Fatalf("status %d, want %d\n%s", answer.StatusCode, c.status, body)
			}
			if n := records.Reads - before; n != 1 {
				t.Errorf("the book was read %d times, want once", n)
			}
			if c.request.Method != http.MethodGet {
				return
			}
			before = records.Reads
			ask(t, h, get("/"))
			if n := records.Reads - before; n != 0 {
				t.Errorf("the next page read the book %d times, though nothing was written", n)
			}
		})
	}
}
