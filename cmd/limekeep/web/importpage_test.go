package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// brought sends a log and returns the address at which it is looked at.
func brought(t *testing.T, h http.Handler, name, text string) string {
	t.Helper()
	answer, body := ask(t, h, withFile(t, "/use/import", nil, "log", name, []byte(text)))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("status %d\n%s", answer.StatusCode, body)
	}
	return answer.Header.Get("Location")
}

// A log is brought, shown as it is understood, told what it leaves open, and only then
// written down, once.
func TestShotLogIsImported(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	before := records.Last().ID
	const hostile = `<script>alert(1)</script>`
	look := brought(t, h, hostile+".csv", "Tag;Anzahl;dose_g;yield_g;"+hostile+"\n02.02.2026;2;18;36;x\n03.02.2026;1;18,5;37;"+hostile+"\n")
	_, page := ask(t, h, get(look))
	holds(t, page, "It cannot be taken like this", "date", "below", "Column 1: Tag")
	if strings.Contains(page, "--") && strings.Contains(page, "--map") || strings.Contains(page, hostile) {
		t.Errorf("the page speaks of flags, or shows a name as it stands:\n%s", page)
	}
	told := url.Values{"column-0": {"date"}, "column-1": {"shots"}, "column-4": {"note"}}
	_, page = ask(t, h, get(look+"?"+told.Encode()))
	holds(t, page, "To be said first", "18 g in a row of 2 shots", "say below what dose and yield are of", "2 rows")
	if strings.Contains(page, "Write it down") {
		t.Error("it could be written down before all is said")
	}
	told.Set("doses", "each")
	_, page = ask(t, h, get(look+"?"+told.Encode()))
	holds(t, page, "2 rows</strong> from", "3 shots", "None of them is known yet", `>Tag</dt><dd>date`, "Write it down")
	if records.Last().ID != before {
		t.Error("to look has written something")
	}
	_, after, _ := strings.Cut(page, `<form method="post"`)
	within, _, _ := strings.Cut(after, "</form>")
	sent := formValues(t, within)
	answer, body := ask(t, h, post(look, sent))
	if answer.StatusCode != http.StatusSeeOther || !strings.HasPrefix(answer.Header.Get("Location"), "/use?written=") {
		t.Fatalf("status %d to %s\n%s", answer.StatusCode, answer.Header.Get("Location"), body)
	}
	_, page = ask(t, h, get(answer.Header.Get("Location")))
	holds(t, page, `role="status"`, "2 rows")
	if strings.Contains(page, hostile) {
		t.Error("the name of the file is shown as it stands")
	}
	batch := records.Last().Body.(record.UseBatch)
	if rows := records.Rows[records.Last().ID]; batch.Rows != 2 || len(rows) != 2 || rows[0].DoseGrams != 18 || rows[1].Note != hostile {
		t.Errorf("kept: %+v, %+v", batch, rows)
	}
	written := records.Last().ID
	if answer, _ := ask(t, h, post(look, sent)); answer.StatusCode != http.StatusSeeOther || records.Last().ID != written {
		t.Errorf("sent again: status %d, record %d", answer.StatusCode, records.Last().ID)
	}
}

// Rows that say something else than before are shown, and take the place of those only
// where that is asked for.
func TestCorrectedRowsReplace(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	const first = "date,time,dose_g,yield_g\n2026-02-02,07:40,18,36\n2026-02-03,07:45,18,36\n"
	take := func(text string, told url.Values) (page string) {
		t.Helper()
		look := brought(t, h, "log.csv", text)
		_, page = ask(t, h, get(look+"?"+told.Encode()))
		_, after, found := strings.Cut(page, `<form method="post"`)
		if !found {
			t.Fatalf("it cannot be written down:\n%s", page)
		}
		within, _, _ := strings.Cut(after, "</form>")
		if answer, body := ask(t, h, post(look, formValues(t, within))); answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("status %d\n%s", answer.StatusCode, body)
		}
		return page
	}
	take(first, nil)
	written := records.Last().ID
	corrected := strings.Replace(first, "07:45,18,36", "07:45,19,40", 1)
	page := take(corrected, nil)
	holds(t, page, "Known, with something else now", "dose_g 19 instead of 18", "left as they were")
	if records.Last().ID != written {
		t.Error("rows were replaced that were not asked for")
	}
	page = take(corrected, url.Values{"replace": {"yes"}})
	holds(t, page, "They take the place of")
	if records.Last().ID == written {
		t.Error("nothing was replaced")
	}
	if show, err := desk.Day(t, schedule.Moment{}).History(t.Context()); err != nil || show[len(show)-1].Record == written {
		t.Errorf("history: %v", err)
	}
}

// What is no log, or too large, or was let go, is said; nothing is written.
func TestShotLogsAreRefused(t *testing.T) {
	desk, records := readKitchen(t)
	h := open(desk)
	before := records.Last().ID
	for name, c := range map[string]struct {
		request *http.Request
		status  int
		says    string
	}{
		"no file":    {withFile(t, "/use/import", nil, "log", "", nil), 422, "choose one first"},
		"empty":      {withFile(t, "/use/import", nil, "log", "x.csv", nil), 422, "header"},
		"a workbook": {withFile(t, "/use/import", nil, "log", "x.xlsx", []byte("PK\x03\x04 not a table")), 422, "CSV"},
		"too large":  {withFile(t, "/use/import", nil, "log", "x.csv", make([]byte, 17<<20)), 413, "larger than any"},
		"a form":     {post("/use/import", url.Values{"log": {"x"}}), 415, "Nothing was written"},
	} {
		answer, body := ask(t, h, c.request)
		if answer.StatusCode != c.status {
			t.Errorf("%s: status %d", name, answer.StatusCode)
		}
		holds(t, body, c.says)
	}
	foreign := withFile(t, "/use/import", nil, "log", "x.csv", []byte("date\n2026-02-02\n"))
	foreign.Header.Set("Origin", "https://elsewhere.example")
	if answer, _ := ask(t, h, foreign); answer.StatusCode != http.StatusForbidden {
		t.Errorf("from another site: status %d", answer.StatusCode)
	}
	for _, r := range []*http.Request{get("/use/import/nothing"), post("/use/import/nothing", url.Values{})} {
		if answer, _ := ask(t, h, r); answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/use/import?gone" {
			t.Errorf("%s %s: status %d", r.Method, r.URL.Path, answer.StatusCode)
		}
	}
	look := brought(t, h, "later.csv", "date\n2031-02-02\n")
	if _, page := ask(t, h, get(look)); !strings.Contains(page, "It cannot be taken like this") {
		t.Error("a day that lies ahead is taken")
	}
	if answer, body := ask(t, h, post(look, url.Values{})); answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, "Nothing was written") {
		t.Errorf("sent all the same: status %d", answer.StatusCode)
	}
	if records.Last().ID != before {
		t.Errorf("%+v was written", records.Last())
	}
}
