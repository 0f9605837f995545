package web_test

import (
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"
)

// drawnLinks are the links on a drawing.
var drawnLinks = regexp.MustCompile(`<a href="([^"]+)" class="part"><title>([^<]+)</title>`)

// Each part of the drawing leads to a page that is there, and to its place on it.
func TestDrawingLeadsToPages(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	_, body := ask(t, h, get("/equipment/bench"))
	links := drawnLinks.FindAllStringSubmatch(body, -1)
	if len(links) < 8 { // supply, softener, pump, two boilers, group, wand, the whole, grinder
		t.Fatalf("the drawing has %d links", len(links))
	}
	for _, link := range links {
		address, anchor, _ := strings.Cut(html.UnescapeString(link[1]), "#")
		answer, page := ask(t, h, get(address))
		for answer.StatusCode == http.StatusFound {
			answer, page = ask(t, h, get(answer.Header.Get("Location")))
		}
		if answer.StatusCode != http.StatusOK {
			t.Errorf("%s leads to status %d", link[1], answer.StatusCode)
		}
		if anchor != "" && !strings.Contains(page, `id="`+anchor+`"`) {
			t.Errorf("%s points at nothing on its page", link[1])
		}
	}
}

func TestEquipmentThatIsNotThere(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	for _, path := range []string{"/equipment/none", "/equipment/bench/none", "/equipment/grinder/brew"} {
		if answer, _ := ask(t, h, get(path)); answer.StatusCode != http.StatusNotFound {
			t.Errorf("%s: status %d", path, answer.StatusCode)
		}
	}
}

func TestVesselPage(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	_, body := ask(t, h, get("/equipment/bench/steam"))
	holds(t, body, "Steam boiler", "On its hot wall", "Concentrated", "Chloride in the steam boiler", "kWh a year", "Assumed:", `href="/tasks/bench/descale/steam"`)
	_, body = ask(t, h, get("/equipment/bench/brew"))
	holds(t, body, "film, 2 g") // what was found stands on the picture
}
