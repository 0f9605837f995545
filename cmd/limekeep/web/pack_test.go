package web_test

import (
	"compress/gzip"
	"io"
	"net/http"
	"strings"
	"testing"
)

// mostPageBytes is what a page may weigh on its way.
const mostPageBytes = 60 << 10

// kitchenPages are all pages of a place, one of each kind, as the browser looks at
// them in .ci/clients/browse/pages.json.
var kitchenPages = []string{
	"/", "/plan", "/water", "/water/new", "/water/compare", "/use", "/use/import", "/history", "/history/6/take-back", "/score", "/about", "/dates", "/setup",
	"/equipment", "/equipment/bench", "/equipment/bench/steam", "/equipment/grinder", "/tasks/bench/descale/steam", "/tasks/bench/group-gasket/group", "/tasks/grinder/shot-time",
	"/record", "/record/bench", "/labels", "/print/plan", "/print/sitting", "/print/report/bench", "/own-calendar",
	"/settings", "/settings/care", "/settings/equipment/bench", "/settings/equipment/bench/retire", "/settings/add", "/settings/add/machine", "/settings/add/tools",
}

// Every page weighs little on its way, of all that it has.
func TestPagesWeighLittle(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	for _, path := range kitchenPages {
		if packed, page := unpacked(t, h, path); packed > mostPageBytes || !strings.Contains(page, "<main") {
			t.Errorf("GET %s: %d bytes packed, %d plain", path, packed, len(page))
		}
	}
}

// Pages go out packed to who takes that, hold the same, and weigh little; what shows
// a secret goes out as it is.
func TestPagesArePacked(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	for _, path := range []string{"/", "/plan", "/water", "/water/new", "/use", "/history", "/equipment", "/equipment/bench", "/equipment/bench/steam", "/tasks/bench/descale/steam", "/print/plan", "/labels", "/static/style.css", "/api/v1/due"} {
		answer, body := ask(t, h, get(path, "Accept-Encoding", "gzip"))
		if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Encoding") != "gzip" || answer.Header.Get("Vary") != "Accept-Encoding" {
			t.Errorf("%s: status %d, headers %v", path, answer.StatusCode, answer.Header)
			continue
		}
		if len(body) > mostPageBytes {
			t.Errorf("%s weighs %d bytes packed", path, len(body))
		}
		z, err := gzip.NewReader(strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		unpacked, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		_, plain := ask(t, h, get(path))
		if len(unpacked) != len(plain) { // tokens differ, but not in length
			t.Errorf("%s: %d bytes unpacked, %d plain", path, len(unpacked), len(plain))
		}
	}
	if answer, _ := ask(t, h, get("/calendar", "Accept-Encoding", "gzip")); answer.Header.Get("Content-Encoding") != "" {
		t.Errorf("the page of addresses: headers %v", answer.Header)
	}
	// Known already, by a tag that holds for both forms.
	first, _ := ask(t, h, get("/static/style.css", "Accept-Encoding", "gzip"))
	again, body := ask(t, h, get("/static/style.css", "Accept-Encoding", "gzip", "If-None-Match", first.Header.Get("ETag")))
	if again.StatusCode != http.StatusNotModified || body != "" {
		t.Errorf("asked again: status %d with %d bytes", again.StatusCode, len(body))
	}
	if answer, body := ask(t, h, get("/", "Accept-Encoding", "gzip;q=0")); answer.Header.Get("Content-Encoding") != "" || !strings.Contains(body, "<!DOCTYPE html>") {
		t.Errorf("refused, it is packed all the same: %v", answer.Header)
	}
}
