package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// lookedSite is a server with the pages to look at.
type lookedSite struct {
	Name    string            `json:"name"`
	Address string            `json:"address"`
	Pages   map[string]string `json:"pages"` // what: path
	Sitting bool              `json:"sitting"`
	Invited string            `json:"invited"` // path of an invitation to take
	After   map[string]string `json:"after"`   // looked at with it
	// Password is what the owner signs in with, to look at what is in Owner.
	Password string              `json:"password"`
	Owner    map[string]string   `json:"owner"`
	Sent     map[string]sentForm `json:"sent"` // forms whose answers are looked at
}

// sentForm is a form that is sent as no page of ours would.
type sentForm struct {
	Path   string         `json:"path"`
	Fields map[string]any `json:"fields"` // a number is so many letters
}

// pageSeen is what .ci/clients/looks.mjs saw of a page.
type pageSeen struct {
	Site, Page string
	Status     int
	Bytes      int // on the way, as the browser asked for it; 0 where nobody looked
	Wide       []string
	Tall       int // pixels on a phone, as it comes
	Stands     int // how far down the gauges of Now end there
	Runs       []struct {
		Scheme string
		axeRun
	}
}

// Every page in both themes and three widths, by all rules of axe-core: the demo with a
// sitting gone through, before a place is set up, a used machine of which nothing is
// known, a bar, several places with their round, and who comes in by which door. Where
// LIMEKEEP_LOOKS names a folder, pictures of them all are laid there on sheets. It takes
// minutes; TestBrowser has the pages of a kitchen in make test.
func TestBrowserEveryPage(t *testing.T) {
	folder := os.Getenv("LIMEKEEP_LOOKS")
	if os.Getenv("LIMEKEEP_SOAK") == "" && folder == "" {
		t.Skip("the long form: LIMEKEEP_SOAK=1, or make looks DIR=folder for pictures")
	}
	if folder == "" {
		folder = "-"
	}
	sites := lookedSites(t)
	if only := os.Getenv("LIMEKEEP_LOOKS_AT"); only != "" {
		sites = slices.DeleteFunc(sites, func(s lookedSite) bool { return !slices.Contains(strings.Split(only, ","), s.Name) })
	}
	list, err := json.Marshal(sites)
	if err != nil {
		t.Fatal(err)
	}
	home := t.TempDir()
	drive := exec.CommandContext(t.Context(), "node", filepath.Join("..", "..", ".ci", "clients", "looks.mjs"), chromium(t), folder, string(list))
	drive.Env = append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "XDG_CACHE_HOME="+home)
	var complaints bytes.Buffer
	drive.Stderr = &complaints
	out, err := drive.Output()
	if err != nil {
		t.Fatalf("the browser's driver: %v\n%s", err, complaints.String())
	}
	var seen []pageSeen
	if err := json.Unmarshal(out, &seen); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	looked := map[string]int{}
	for _, p := range seen {
		where := p.Site + ", " + p.Page
		looked[p.Site]++
		for _, wide := range p.Wide {
			t.Errorf("%s: %s wide", where, wide)
		}
		want := map[string]int{"not there": 404, "not for a reader": 403, "a mistake": 422, "too large": 413, "a conflict": 409, "nothing of that name": 404, "which of them": 404}[p.Page]
		if want == 0 {
			want = 200
		}
		if p.Status != want {
			t.Errorf("%s: status %d, want %d", where, p.Status, want)
		}
		const screen = 740 // pixels of a phone
		if p.Site == "demo" && p.Page == "index" && p.Tall > mostScreens*screen {
			t.Errorf("%s: %d pixels long", where, p.Tall)
		}
		if p.Site == "up to date" && (p.Stands == 0 || p.Stands > screen) {
			t.Errorf("%s: the next sitting, the routine and the gauges end at %d pixels", where, p.Stands)
		}
		if p.Bytes > 60<<10 {
			t.Errorf("%s: %d bytes on the way", where, p.Bytes)
		}
		if len(p.Runs) != 2 {
			t.Errorf("%s: looked at in %d themes", where, len(p.Runs))
		}
		for _, run := range p.Runs {
			for _, v := range run.Violations { // of whatever impact
				t.Errorf("%s, %s: axe: %s, %s: %q", where, run.Scheme, v.Rule, v.Impact, v.Where)
			}
			for _, rule := range []string{"color-contrast", "document-title", "html-has-lang", "page-has-heading-one"} {
				if !slices.Contains(run.Applied, rule) {
					t.Errorf("%s, %s: the rule %s did not run", where, run.Scheme, rule)
				}
			}
		}
	}
	for _, site := range sites {
		if least := len(site.Pages) + len(site.After) + len(site.Owner) + len(site.Sent); looked[site.Name] < least || site.Sitting && looked[site.Name] < least+4 {
			t.Errorf("%s: %d pages were looked at", site.Name, looked[site.Name])
		}
	}
}

// lookedSites serves what there is to look at until the test ends.
func lookedSites(t *testing.T) []lookedSite {
	demo := serveDemo(t, "--worlds", "50", "--effort", "20000")
	list, err := os.ReadFile(filepath.Join("..", "..", ".ci", "clients", "browse", "pages.json"))
	if err != nil {
		t.Fatal(err)
	}
	var pages map[string]string
	if err := json.Unmarshal([]byte(strings.NewReplacer("{task}", taskOnPhone, "hand-grinder", "grinder").Replace(string(list))), &pages); err != nil {
		t.Fatal(err)
	}
	maps.Copy(pages, map[string]string{"not there": "/nothing-of-this-name", "a check": "/tasks/machine/pump-pressure", "descaling": "/tasks/machine/descale/steam", "taking back": "/history/9/take-back"})

	few := []string{"serve", "--listen", "127.0.0.1:0", "--worlds", "50", "--effort", "20000"}
	used := &served{t: t, folder: t.TempDir()}
	used.setUpFrom("used.yaml", usedPlace)
	used.serve(few...)
	bar := &served{t: t, folder: t.TempDir()}
	bar.setUpFrom("bar.yaml", barPlace)
	bar.serve(few...)
	stands := map[string]string{"now": "/", "equipment": "/equipment", "plan": "/plan", "water": "/water", "use": "/use", "machine": "/equipment/machine", "what was done": "/record", "score": "/score", "history": "/history"}

	fresh := &served{t: t, folder: t.TempDir()}
	fresh.setUpFrom("new.yaml", strings.ReplaceAll(newPlace, "TODAY", time.Now().Format(time.DateOnly)))
	fresh.run("water", "add", "--hardness", "9 dH", "--alkalinity", "7 dH", "--method", "drop")
	fresh.serve(few...)

	gallons := &served{t: t, folder: t.TempDir()}
	gallons.setUpFrom("gallons.yaml", gallonsPlace)
	gallons.run("water", "add", "--hardness", "11 gpg", "--alkalinity", "8 gpg", "--method", "drop")
	gallons.serve(few...)

	many := &served{t: t, folder: t.TempDir()}
	for _, cafe := range []string{"amsel", "birke", "corso"} {
		many.run("setup", filepath.Join("testdata", "cafes", cafe+".yaml"))
	}
	many.serve(append(few, "--round", filepath.Join("testdata", "cafes", "round.yaml"))...)

	closed := &served{t: t, folder: t.TempDir()}
	closed.setUpFrom("used.yaml", usedPlace)
	command := closed.command("password", "set")
	command.Stdin = strings.NewReader(ownersPassword + "\n")
	mustRun(t, command)
	invitation := regexp.MustCompile(`/invited/\S+`).FindString(closed.run("people", "invite", "Ben", "--role", "reader", "--base", "http://127.0.0.1"))
	closed.serve(few...)
	if invitation == "" {
		t.Fatal("no invitation was printed")
	}

	unset := &served{t: t, folder: t.TempDir()}
	unset.setUpFrom("used.yaml", usedPlace)
	unset.serve(append(few, "--setup-link")...)
	setting, err := url.Parse(unset.link)
	if err != nil || setting.Path == "" {
		t.Fatalf("no link that sets the password: %q, %v", unset.link, err)
	}

	nothing := serveNothing(t)
	return []lookedSite{
		{Name: "nothing", Address: nothing.pages, Pages: map[string]string{
			"first": "/setup", "water": "/setup?layout=two+boilers&supply=tank&groups=1&setting=home&came=new&since=2024",
			"a mistake": "/setup?layout=two+boilers&supply=tank&groups=1&setting=home&came=new&asked=since&since=soon",
		}},
		{Name: "demo", Address: demo.pages, Pages: pages, Sitting: true},
		{Name: "used", Address: used.pages, Pages: stands, Sent: map[string]sentForm{
			"too large": {"/use/shots", map[string]any{"shots-note": 3 << 20}}, "a conflict": {"/sitting", map[string]any{"start": "2020-01-04T10:00:00Z"}},
			"nothing of that name": {"/tasks/machine/nothing/done", map[string]any{"date": ""}}, "a mistake": {"/use/shots", map[string]any{"shots-shots": "many"}},
		}},
		{Name: "up to date", Address: fresh.pages, Pages: map[string]string{"now": "/"}},
		{Name: "bar", Address: bar.pages, Pages: stands},
		{Name: "gallons", Address: gallons.pages, Pages: map[string]string{
			"now": "/", "machine": "/equipment/machine", "vessel": "/equipment/machine/steam", "descaling": "/tasks/machine/descale/brew", "use": "/use", "water": "/water",
			"change": "/settings/equipment/machine", "a line": "/settings/equipment/line", "settings": "/settings", "a check": "/tasks/machine/warm-up/steam",
		}},
		{Name: "many", Address: many.pages, Pages: map[string]string{"places": "/places", "round": "/round", "load": "/round/load", "van": "/van", "compared": "/places/compare", "calendar": "/places/calendar", "which of them": "/calendar", "one of them": "/at/amsel/", "not there": "/at/nobody/"}},
		{Name: "closed", Address: closed.pages, Pages: map[string]string{"sign in": "/sign-in", "invited": invitation}, Invited: invitation, After: map[string]string{"now for a reader": "/", "not for a reader": "/settings"},
			Password: ownersPassword, Owner: map[string]string{"people": "/people", "the password": "/settings/password"}},
		{Name: "unset", Address: unset.pages, Pages: map[string]string{"set the password": setting.Path}},
	}
}

// setUpFrom sets a place up.
func (s *served) setUpFrom(name, place string) {
	s.t.Helper()
	file := filepath.Join(s.folder, name)
	if err := os.WriteFile(file, []byte(place), 0o600); err != nil {
		s.t.Fatal(err)
	}
	s.run("setup", file)
}

// usedPlace is a used machine of unknown past, a lever on a boiler with a tank.
const usedPlace = `place:
  id: home
  name: At home
  zone: Europe/Lisbon
equipment:
  - id: line
    water_line: {supply: tank}
  - id: machine
    name: Old lever machine
    used: true
    machine: {setting: home, layout: lever, water_line: line}
`

// ownersPassword opens what is closed.
const ownersPassword = "several words in a row"

// gallonsPlace is a home whose owner thinks in gallons, °F and grains.
const gallonsPlace = `place:
  id: porch
  name: Back porch
  zone: America/Chicago
  units: US
  hardness_unit: gpg
equipment:
  - id: line
    bought: 2024-02-03
    water_line:
      supply: mains
      treatment:
        - {id: filter, kind: softener, fitted: 2026-06-12, rated_litres: 600, rated_hardness_dh: 10, bypass_share: 0.2, months: 12}
  - id: machine
    name: Kitchen machine
    bought: 2024-02-03
    machine: {setting: home, layout: two boilers, water_line: line, habit: {weekday_shots: 4, weekend_shots: 6}}
`

// newPlace is a machine that came today and needs nothing yet.
const newPlace = `place:
  id: fresh
  name: Fresh kitchen
  zone: Europe/Lisbon
equipment:
  - id: line
    bought: TODAY
    water_line: {supply: mains}
  - id: machine
    name: New machine
    bought: TODAY
    machine: {setting: home, layout: two boilers, water_line: line, habit: {weekday_shots: 4, weekend_shots: 6}}
  - id: grinder
    name: Grinder
    bought: TODAY
    grinder: {setting: home, drive: motor, serves: [machine]}
`

// barPlace is a bar with four groups and two grinders.
const barPlace = `place:
  id: quay-bar
  name: Quay Bar
  zone: Europe/Lisbon
  preferred_times:
    - {when: "0 8 * * MON", minutes: 180}
equipment:
  - id: line
    bought: 2022-01-10
    water_line:
      supply: mains
      treatment:
        - {id: sediment, kind: sediment, fitted: 2026-06-01}
        - {id: filter, kind: softener, fitted: 2026-06-12, rated_litres: 6000, rated_hardness_dh: 10, bypass_share: 0.2, months: 12}
  - id: machine
    name: Four-group machine
    bought: 2022-01-10
    machine:
      setting: bar
      layout: heat exchanger
      groups: [{id: g1}, {id: g2}, {id: g3}, {id: g4}]
      habit: {weekday_shots: 380, weekend_shots: 460, steamed_share: 0.7, hot_hours: 12}
  - id: grinder
    name: House grinder
    bought: 2023-01-05
    grinder: {setting: bar}
  - id: decaf
    name: Decaf grinder
    bought: 2023-01-05
    grinder: {setting: bar}
`
