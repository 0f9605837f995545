package web_test

import (
	"net/http"
	"sync"
	"testing"
)

// Several apps tick one task off, others look at the collection, calendars are
// fetched and pages read, all while the plan is made anew behind them: one service
// is written down, and everybody is answered.
func TestAppsPagesAndFeedSideBySide(t *testing.T) {
	p := newPhone(t)
	stop := watch(t, p.server)
	defer stop()
	text, _ := p.get(tips)
	ticked, before := saying(text, "STATUS:COMPLETED"), p.services()
	const each = 4
	var wait sync.WaitGroup
	for range 3 {
		wait.Go(func() {
			for range each {
				answer, body := p.send(http.MethodPut, tips, ticked, "Content-Type", "text/calendar; charset=utf-8")
				if answer.StatusCode != http.StatusNoContent {
					t.Errorf("PUT: status %d: %s", answer.StatusCode, body)
				}
			}
		})
	}
	wait.Go(func() {
		for range each {
			answer, body := p.send("PROPFIND", "", `<propfind xmlns="DAV:"><prop><getetag/></prop></propfind>`, "Content-Type", "application/xml", "Depth", "1")
			if answer.StatusCode != http.StatusMultiStatus {
				t.Errorf("PROPFIND: status %d: %s", answer.StatusCode, body)
			}
		}
	})
	for _, path := range []string{feed, "/", "/tasks/" + tipsTask, "/plan"} {
		wait.Go(func() {
			for range each {
				if answer, body := ask(t, p.h, get(path)); answer.StatusCode != http.StatusOK {
					t.Errorf("GET %s: status %d: %s", path, answer.StatusCode, body)
				}
			}
		})
	}
	wait.Wait()
	if n := p.services() - before; n != 1 {
		t.Errorf("%d services were written down, not one", n)
	}
	now, _ := p.get(tips)
	holds(t, now, "STATUS:COMPLETED\r\n")
}
