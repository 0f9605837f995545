package web_test

import (
	"encoding/csv"
	"encoding/json"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/day"
)

// Days kept free and what is in the cupboard are entered on the plan, whose calendar
// shows each sitting's day.
func TestPlanTakesDaysAndStock(t *testing.T) {
	desk, _ := kitchen(t)
	h := open(desk)
	sittings := desk.Forecast(t, schedule.Moment{}).Plan().Sittings
	_, body := ask(t, h, get("/plan"))
	for _, s := range sittings {
		id := "s" + s.Start.Format("20060102-1504")
		holds(t, body, `id="`+id+`"`, `href="#`+id+`" aria-label="`+strconv.Itoa(s.Start.Day())+`: a sitting"`)
	}
	first := sittings[0].Start.Format("2006-01-02")
	item := desk.Forecast(t, schedule.Moment{}).Stock()[0].Item
	for _, f := range []struct {
		path string
		form url.Values
		says string
	}{
		{"/plan/block", url.Values{"block-from": {first}, "block-note": {"a feast"}}, "a feast"},
		{"/plan/stock", url.Values{"stock-item": {item}, "stock-what": {"count"}, "stock-number": {"0"}}, "0 × " + item},
	} {
		answer, body := ask(t, h, post(f.path, f.form))
		if answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("%s: status %d\n%s", f.path, answer.StatusCode, body)
		}
		_, body = ask(t, h, get(answer.Header.Get("Location")))
		holds(t, body, `role="status"`, f.says)
	}
	for _, s := range desk.Forecast(t, schedule.Moment{}).Plan().Sittings {
		if s.Start.Format("2006-01-02") == first {
			t.Error("a sitting stands on a day that is kept free")
		}
	}
	for _, f := range []struct {
		path string
		form url.Values
		says string
	}{
		{"/plan/block", url.Values{"block-from": {"x"}}, `href="#block-from"`},
		{"/plan/stock", url.Values{"stock-item": {item}, "stock-what": {"came"}, "stock-number": {"many"}}, `href="#stock-number"`},
	} {
		answer, body := ask(t, h, post(f.path, f.form))
		if answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%s: status %d", f.path, answer.StatusCode)
		}
		holds(t, body, f.says, "Nothing was written yet")
	}
	if answer, _ := ask(t, h, post("/plan/other", url.Values{})); answer.StatusCode != http.StatusNotFound {
		t.Errorf("another form: status %d", answer.StatusCode)
	}
}

// The history is shown in part, and what is shown is the file that is given: as JSON,
// and as RFC 4180 has it.
func TestHistoryIsFilteredAndTaken(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	_, body := ask(t, h, get("/history.json?kind=service"))
	var lines []day.HistoryLine
	if err := json.Unmarshal([]byte(body), &lines); err != nil {
		t.Fatal(err)
	}
	_, body = ask(t, h, get("/history.csv?kind=service"))
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(lines) < 2 || len(rows) != len(lines)+1 || !strings.Contains(body, "\r\n") {
		t.Fatalf("%d records as JSON, %d rows", len(lines), len(rows))
	}
	for i, l := range lines {
		if row := rows[i+1]; row[0] != strconv.FormatInt(l.Record, 10) || row[2] != "service" || row[3] != l.Says {
			t.Errorf("%v is not %+v", row, l)
		}
	}
	_, shown := ask(t, h, get("/history?kind=service&text=FILM"))
	_, all := ask(t, h, get("/history"))
	if few, many := strings.Count(shown, `<span class="kind">`), strings.Count(all, `<span class="kind">`); few != 1 || many <= len(lines) {
		t.Errorf("%d of %d are shown", few, many)
	}
	holds(t, shown, `href="/history.csv?kind=service&amp;text=FILM"`)
}
