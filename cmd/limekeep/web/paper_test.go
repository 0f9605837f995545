package web_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/record"
)

// A camera that sees a label opens the page on which work on that thing is written
// down; one tap there does it.
func TestLabelLeadsToARecord(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk, func(s *web.Server) { s.BaseURL = "https://care.example/" })
	_, body := ask(t, h, get("/labels"))
	for of, path := range map[string]string{"Machine on the bench": "/record/bench", "Grinder": "/record/grinder", "Kitchen tap": "/record/tap"} {
		if got := readCode(t, body, of); got != "https://care.example"+path {
			t.Errorf("the label of %s leads to %s", of, got)
		}
	}
	_, body = ask(t, h, get("/record/bench"))
	one := regexp.MustCompile(`<form method="post" action="(/tasks/bench/[^"]+/done)"><input type="hidden" name="ticket" value="([^"]+)"><input type="hidden" name="date" value="([^"]+)">`).FindStringSubmatch(body)
	if one == nil {
		t.Fatalf("nothing can be written down in one tap:\n%s", body)
	}
	before := len(records.Of(record.KindService))
	for range 2 { // the same tap again is the same tap
		if answer, body := ask(t, h, post(one[1], url.Values{"ticket": {one[2]}, "date": {one[3]}})); answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("status %d\n%s", answer.StatusCode, body)
		}
	}
	if n := len(records.Of(record.KindService)) - before; n != 1 {
		t.Errorf("two taps wrote %d services", n)
	}
	_, body = ask(t, h, get("/record/tap"))
	holds(t, body, `href="/water/new?line=tap"`)
}

// A label that reaches this computer alone says so.
func TestLabelsWarnOfALocalAddress(t *testing.T) {
	desk, _ := readKitchen(t)
	for base, warned := range map[string]bool{"http://127.0.0.1:8321": true, "http://localhost:8321": true, "http://192.168.1.20:8321": false} {
		_, body := ask(t, open(desk, func(s *web.Server) { s.BaseURL = base }), get("/labels"))
		if got := strings.Contains(body, "reaches this computer alone"); got != warned {
			t.Errorf("%s: warned %t", base, got)
		}
	}
}

// Cautions come first on paper as well, and everything that is done has its place.
func TestSittingOnPaper(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	_, body := ask(t, h, get("/print/sitting"))
	safety, timetable := strings.Index(body, "Cautions and making safe"), strings.Index(body, "Timetable")
	if safety < 0 || timetable < safety {
		t.Errorf("the timetable stands at %d, the cautions at %d", timetable, safety)
	}
	if answer, _ := ask(t, h, get("/print/sitting?at=2020-01-01T00:00:00Z")); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a sitting that is not planned: status %d", answer.StatusCode)
	}
}

func TestServiceReportOnPaper(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	_, body := ask(t, h, get("/print/report/bench?from=2025-03-01"))
	holds(t, body, "Descale the brew boiler", "film, 2 g of scale", "What is to be expected")
	if answer, _ := ask(t, h, get("/print/report/none")); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a machine that is not there: status %d", answer.StatusCode)
	}
}

// From Now a routine is one tap, and work such as a backflush two: the page of what
// was done, and there its own button.
func TestWorkIsWrittenDownInTwoTaps(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	_, now := ask(t, h, get("/"))
	holds(t, now, `href="/record"`)
	_, page := ask(t, h, get("/record"))
	form := regexp.MustCompile(`<form method="post" action="(/tasks/bench/backflush[^"]*/done)"><input type="hidden" name="ticket" value="([^"]*)"><input type="hidden" name="date" value="([^"]*)">`).FindStringSubmatch(page)
	if form == nil {
		t.Fatalf("no button for a backflush:\n%.3000s", page)
	}
	before := len(records.Of(record.KindService))
	answer, _ := ask(t, h, post(form[1], url.Values{"ticket": {form[2]}, "date": {form[3]}}))
	if answer.StatusCode != http.StatusSeeOther || len(records.Of(record.KindService)) != before+1 {
		t.Errorf("status %d, %d services more", answer.StatusCode, len(records.Of(record.KindService))-before)
	}
}
