package web_test

import (
	"encoding/csv"
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/web"
	"limekeep/cmd/limekeep/web/api"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/sample"
)

// cafeTemplate is a place file for many.
const cafeTemplate = `place: {zone: Europe/Vienna, group: Blue Cups}
equipment:
  - {id: tap, bought: 2024-01-10, water_line: {supply: mains}}
  - {id: machine, bought: 2024-01-10, machine: {setting: bar, layout: two boilers, habit: {weekday_shots: 100, weekend_shots: 100}}}
`

// Places are set up by a program from one table, listed by group, and compared on a page
// and in files from what is known of them.
func TestFleetOfOneServer(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	kept := &sample.Derived{}
	s := newStreet(t, func(p *web.Places) {
		one, err := p.Make("blue")
		if err != nil {
			t.Fatal(err)
		}
		days := &day.Opener{Records: p.Records, Catalogue: one.Days.Catalogue, Now: one.Days.Now, Worlds: one.Days.Worlds, Spell: one.Days.Spell}
		p.Standings, p.SetUp = kept, &api.FleetSetUp{Days: days, Journal: &journal.Journal{Days: days, Source: "page"}}
	}, "blue")
	given := func(table string, dry bool) string {
		body, err := json.Marshal(map[string]any{"csv": table, "template": cafeTemplate, "dry_run": dry})
		if err != nil {
			t.Fatal(err)
		}
		return string(body)
	}
	const table = "place,name,water district,shots,machine\ncup-1,\"=cmd|'<b>&1\",graz-west,120,M\ncup-2,Second Cup,graz-west,80,M\n"
	var done api.FleetAnswer
	for _, dry := range []bool{true, false} {
		answer, body := ask(t, s.h, postJSON("/api/v1/fleet/setups", given(table, dry)))
		if err := json.Unmarshal([]byte(body), &done); answer.StatusCode != http.StatusOK || err != nil || done.Added != 2 || done.DryRun != dry || len(done.Others) != 1 {
			t.Fatalf("%s, %v: %s", answer.Status, err, body)
		}
	}
	answer, body := ask(t, s.h, postJSON("/api/v1/fleet/setups", given("place,shots\ncup-1,lots\ncup-1,3\n", false)))
	if answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("two mistakes: %s", answer.Status)
	}
	holds(t, body, "line 2: cup-1, shots", "line 3: place of row 3")

	// The same on pages: a table is brought, looked at, and then taken; new places are like
	// one that is there.
	bring := func(table string) string {
		t.Helper()
		answer, body := ask(t, s.h, withFile(t, "/places/table", nil, "table", "places.csv", []byte(table)))
		if answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("%s: %s", answer.Status, body)
		}
		return answer.Header.Get("Location")
	}
	_, body = ask(t, s.h, get(bring("place;shots\ncup-1;lots\ncup-1;3\n")))
	holds(t, body, "It cannot be taken like this", "line 2: cup-1, shots", "line 3: place of row 3")
	look := bring("place;name;shots\ncup-1;\"=cmd|'<b>&1\";130\ncup-3;Third <Cup>;60\n")
	_, body = ask(t, s.h, get(look))
	holds(t, body, "It cannot be taken like this") // nothing says what stands at a new place
	_, body = ask(t, s.h, get(look+"?like=cup-1"))
	holds(t, body, "1 to be added, 1 to be changed", "Third &lt;Cup&gt;", "shots 130, was 120", "2 places are not in the table")
	if answer, body := ask(t, s.h, post(look, url.Values{"like": {"cup-9"}})); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("%s: %s", answer.Status, body)
	}
	for _, says := range []string{"Written down: 1 added, 1 changed.", "Written down: 0 added, 0 changed."} { // again it changes nothing
		answer, body = ask(t, s.h, post(look, url.Values{"like": {"cup-1"}}))
		if answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("%s: %s", answer.Status, body)
		}
		_, body = ask(t, s.h, get(answer.Header.Get("Location")))
		holds(t, body, says)
	}
	_, body = ask(t, s.h, get("/places/table.csv"))
	if rows, err := csv.NewReader(strings.NewReader(body)).ReadAll(); err != nil || len(rows) != 5 || rows[4][0] != "cup-3" || rows[4][1] != "Third <Cup>" || rows[4][4] != "Blue Cups" {
		t.Errorf("%v: %s", err, body)
	}
	_, body = ask(t, s.h, get("/places/table?gone"))
	holds(t, body, "bring it again")

	if err := s.places.Renew(t.Context()); err != nil {
		t.Fatal(err)
	}
	s.ready(t)
	_, body = ask(t, s.h, get("/places?group=blue+cups"))
	holds(t, body, `href="/at/cup-1/"`, `href="/at/cup-2/"`, "4 places, 3 of them shown", `href="/places/table"`, "Blue Cups")
	if strings.Contains(body, `href="/at/blue/"`) {
		t.Error("a place of no group is shown among those of one")
	}
	_, body = ask(t, s.h, get("/places/compare?by=use"))
	holds(t, body, `href="/at/blue/"`, "=cmd|&#39;&lt;b&gt;&amp;1", "never tested", "/places/compare.csv?by=use", " g (")
	if first, second := strings.Index(body, "/at/cup-1/"), strings.Index(body, "/at/cup-2/"); first > second {
		t.Error("more shots do not come first")
	}
	answer, body = ask(t, s.h, get("/places/compare.csv?group=Blue+Cups&by=name"))
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	if err != nil || len(rows) != 4 || rows[1][1] != "'=cmd|'<b>&1" || rows[2][1] != "Second Cup" || !strings.Contains(answer.Header.Get("Content-Disposition"), "attachment") {
		t.Errorf("%v, %v: %s", err, answer.Header, body)
	}

	// One water test for all on the main.
	test := `{"district": "graz-west", "values": [{"quantity": "hardness", "value": 14, "unit": "dH", "method": "laboratory"}]}`
	if answer, body := ask(t, s.h, postJSON("/api/v1/fleet/water-tests", test)); answer.StatusCode != http.StatusCreated {
		t.Errorf("%s: %s", answer.Status, body)
	}
	if answer, _ := ask(t, s.h, postJSON("/api/v1/fleet/water-tests", strings.Replace(test, "graz-west", "Graz West", 1))); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a district that cannot be called so: %s", answer.Status)
	}
	var compared day.Comparison
	for range 2000 { // until the plans that follow from it are made
		_, body = ask(t, s.h, get("/api/v1/fleet/comparison?group=Blue+Cups&by=hardness"))
		if err := json.Unmarshal([]byte(body), &compared); err != nil || len(compared.Places) != 3 {
			t.Fatalf("%v: %s", err, body)
		}
		if h := compared.Places[2].Hardness; h != nil {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	// 14 German degrees are 14 × 17.848 mg/L of calcium carbonate (DIN 38409-6).
	for _, p := range compared.Places {
		if p.Hardness == nil || !p.Hardness.District || p.Hardness.MgPerL < 249.8 || p.Hardness.MgPerL > 250 {
			t.Errorf("%s has the hardness %+v", p.Place, p.Hardness)
		}
	}
	if answer, body := ask(t, s.h, get("/at/cup-2/water")); answer.StatusCode != http.StatusOK || !strings.Contains(body, "water of the district graz-west") || strings.Contains(body, "/take-back") {
		t.Errorf("the water of a place on it: %s", answer.Status)
	}
	_, body = ask(t, s.h, get("/api/v1/openapi.json"))
	holds(t, body, "/api/v1/fleet/setups", "/api/v1/fleet/water-tests", "/api/v1/fleet/comparison")
}
