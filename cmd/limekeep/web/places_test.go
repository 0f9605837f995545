package web_test

import (
	"context"
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/spell"
	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/checklist"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
	"limekeep/schedule/sample"
)

// street is several places in one server.
type street struct {
	h       http.Handler
	places  *web.Places
	records *sample.Records
	desk    *sample.Kitchen
}

// newStreet serves places of one machine each, all worked out.
func newStreet(t *testing.T, change func(*web.Places), ids ...string) *street {
	t.Helper()
	desk, records := sample.New(t)
	desk.Now = func() time.Time { return noon }
	for _, id := range ids {
		setup := schedule.FillIn(schedule.Setup{
			Place:     record.Place{ID: id, Name: "Café " + id, Zone: "Europe/Vienna"},
			Equipment: []record.Equipment{{ID: "machine", Bought: record.NewDate(2024, 3, 1), Machine: &record.Machine{Layout: record.TwoBoilers, Habit: record.Habit{WeekdayShots: 4}}}},
		})
		if _, err := desk.Journal.SetUp(t.Context(), 0, setup); err != nil {
			t.Fatal(err)
		}
	}
	s := &street{records: records, desk: desk}
	turns := day.NewTurns()
	right := func(_ context.Context, password string) (string, bool, error) {
		return "phone", password == "open", nil
	}
	s.places = &web.Places{
		Front: &web.Server{
			Secret:    func(context.Context) (string, error) { return "secret-of-all-places", nil },
			SyncStore: &memorySync{}, CheckPassword: right,
		},
		Records: records,
		Make: func(place string) (*web.Server, error) {
			days := &day.Opener{
				Records: schedule.OfPlace(records, place), Catalogue: desk.Catalogue, Now: desk.Now, Worlds: desk.Worlds,
				PlanEffort: desk.PlanEffort, Courses: true, Spell: spell.Page, Turns: turns,
			}
			return &web.Server{
				Days: days, Journal: &journal.Journal{Days: days, Source: "page"}, Publisher: &agenda.Publisher{Days: days, Source: "page"},
				Place: place, Under: web.Under(place), SyncStore: &memorySync{}, CheckPassword: right,
				Secret: func(context.Context) (string, error) { return "secret-of-" + place + "-alone", nil },
			}, nil
		},
	}
	if change != nil {
		change(s.places)
	}
	s.h = s.places.Handler()
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() { defer close(done); s.places.Watch(ctx) }()
	t.Cleanup(func() { cancel(); <-done })
	s.ready(t)
	return s
}

// ready waits until every place is worked out.
func (s *street) ready(t *testing.T) {
	t.Helper()
	for {
		if answer, _ := ask(t, s.h, get("/readyz")); answer.StatusCode == http.StatusOK {
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// Each place has its pages below an address of its own, whose links stay there; what is
// about all of them is in front.
func TestPlacesOfOneServer(t *testing.T) {
	s := newStreet(t, nil, "blue", "red")
	_, body := ask(t, s.h, get("/"))
	holds(t, body, "2 places", `href="/at/blue/"`, `href="/at/red/"`, "Café blue", "within a month")
	_, body = ask(t, s.h, get("/places?words=caf%C3%A9+red"))
	if strings.Contains(body, "/at/blue/") || !strings.Contains(body, `href="/at/red/"`) {
		t.Error("the search for the red one shows another, or not the one")
	}
	for _, path := range []string{"/", "/plan", "/water", "/equipment", "/use", "/history", "/calendar", "/tasks/machine/descale/brew", "/record/machine", "/labels", "/settings", "/settings/equipment/machine", "/settings/add/machine", "/settings/care", "/own-calendar", "/use/import"} {
		answer, body := ask(t, s.h, get("/at/blue"+path))
		if answer.StatusCode != http.StatusOK {
			t.Errorf("%s: %s", path, answer.Status)
		}
		holds(t, body, `href="/places">All places</a>`, `href="/at/blue/plan"`, "Café blue")
		for _, out := range []string{`href="/plan`, `href="/tasks`, `action="/tasks`, `action="/use`, `href="/at/blue/places`, `href="/at/blue/at`, `href="/at/blue/static`} {
			if strings.Contains(body, out) {
				t.Errorf("%s leads out of its place by %s", path, out)
			}
		}
	}
	if answer, body := ask(t, s.h, get("/tasks/machine/descale/brew?x=1")); answer.StatusCode != http.StatusNotFound {
		t.Errorf("an address that each has: %s", answer.Status)
	} else {
		holds(t, body, "Which place?", `href="/at/red/tasks/machine/descale/brew?x=1"`)
	}
	if answer, _ := ask(t, s.h, get("/at/green/")); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a place that is not there: %s", answer.Status)
	}
}

// What is written at one place leads back there, shows there and makes nothing of another
// stale.
func TestWritingAtOnePlace(t *testing.T) {
	s := newStreet(t, nil, "blue", "red")
	published := func(place string) (n int) {
		for _, e := range s.records.Of(record.KindPublication) {
			if e.Place == place {
				n++
			}
		}
		return n
	}
	before := published("red")
	answer, body := ask(t, s.h, post("/at/blue/tasks/machine/steam-tips/done", url.Values{"date": {"2026-03-01"}, "ticket": {"once-1"}}))
	to := answer.Header.Get("Location")
	if answer.StatusCode != http.StatusSeeOther || !strings.HasPrefix(to, "/at/blue/") {
		t.Fatalf("%s to %q: %s", answer.Status, to, body)
	}
	last := s.records.Of(record.KindService)
	if len(last) != 1 || last[0].Place != "blue" {
		t.Fatalf("%d services, %v", len(last), last)
	}
	for published("blue") < 2 {
		time.Sleep(5 * time.Millisecond)
	}
	if n := published("red"); n != before {
		t.Errorf("the red one was published %d times more", n-before)
	}
}

// The calendars of the places are where they would be if each were the only one; that of
// all holds every entry, with its place before it.
func TestCalendarOfAllPlaces(t *testing.T) {
	s := newStreet(t, nil, "blue", "red")
	entries := func(secret string) (string, int) {
		answer, body := ask(t, s.h, get("/calendar/"+secret+"/limekeep.ics"))
		if answer.StatusCode != http.StatusOK {
			t.Fatalf("%s: %s", secret, answer.Status)
		}
		return body, strings.Count(body, "BEGIN:VEVENT")
	}
	blue, n := entries("secret-of-blue-alone")
	_, m := entries("secret-of-red-alone")
	all, k := entries("secret-of-all-places")
	if n == 0 || k != n+m {
		t.Errorf("%d entries of all, of %d and %d", k, n, m)
	}
	if strings.Contains(blue, "SUMMARY:Café blue") {
		t.Error("the place's own calendar names the place in each entry")
	}
	holds(t, all, "SUMMARY:Café blue: ", "SUMMARY:Café red: ", "LOCATION:Café red", "/at/red/plan")
	if n := strings.Count(all, "BEGIN:VTIMEZONE"); n != 1 {
		t.Errorf("%d time zones for two places in one", n)
	}
	if answer, _ := ask(t, s.h, get("/calendar/secret-of-nobody-at-all/limekeep.ics")); answer.StatusCode == http.StatusOK {
		t.Error("a wrong secret opens a calendar")
	}
	answer, _ := ask(t, s.h, get("/calendar/secret-of-all-places/limekeep.ics"))
	if again, _ := ask(t, s.h, get("/calendar/secret-of-all-places/limekeep.ics", "If-None-Match", answer.Header.Get("ETag"))); again.StatusCode != http.StatusNotModified {
		t.Errorf("asked again: %s", again.Status)
	}
}

// A to-do ticked off in the list of all places is a service at its place, once.
func TestTodosOfAllPlaces(t *testing.T) {
	s := newStreet(t, nil, "blue", "red")
	send := func(method, path, body, user string) (*http.Response, string) {
		r := request(method, path, body, "Depth", "1")
		r.SetBasicAuth(user, "open")
		return ask(t, s.h, r)
	}
	const list = "/dav/all/todos/all/"
	answer, body := send("PROPFIND", list, `<propfind xmlns="DAV:"><prop><getetag/></prop></propfind>`, "all")
	if answer.StatusCode != http.StatusMultiStatus {
		t.Fatalf("%s: %s", answer.Status, body)
	}
	const object = list + "blue.machine.steam-tips.0.ics"
	holds(t, body, object, list+"red.machine.steam-tips.0.ics")
	if answer, _ := send("PROPFIND", "/dav/blue/todos/blue/", "", "blue"); answer.StatusCode != http.StatusMultiStatus {
		t.Errorf("the list of one place: %s", answer.Status)
	}
	if answer, _ := send("PROPFIND", "/dav/blue/todos/blue/", "", "all"); answer.StatusCode == http.StatusMultiStatus {
		t.Error("who gets in to all gets in to one by that name as well")
	}
	answer, text := send(http.MethodGet, object, "", "all")
	holds(t, text, "SUMMARY:Café blue: ")
	for range 2 {
		r := request(http.MethodPut, object, saying(text, "STATUS:COMPLETED"), "Content-Type", "text/calendar")
		r.SetBasicAuth("all", "open")
		if answer, body := ask(t, s.h, r); answer.StatusCode != http.StatusNoContent {
			t.Fatalf("%s: %s", answer.Status, body)
		}
	}
	_ = answer
	services := s.records.Of(record.KindService)
	if len(services) != 1 || services[0].Place != "blue" || services[0].Source != "task app: phone" {
		t.Errorf("%d services: %v", len(services), services)
	}
	_, now := send(http.MethodGet, object, "", "all")
	holds(t, now, "STATUS:COMPLETED")
	if answer, _ := send(http.MethodPut, list+"new.ics", text, "all"); answer.StatusCode == http.StatusCreated {
		t.Error("a new to-do was taken that belongs to no place")
	}
}

// Where fewer forecasts may be held than there are places, those asked for the longest ago
// let go of theirs and keep their outlook; asked for again, they have one.
func TestPlacesLetGo(t *testing.T) {
	s := newStreet(t, func(p *web.Places) { p.MostWarm = 1 }, "blue", "green", "red")
	figures := func() string {
		_, body := ask(t, s.places.MetricsHandler(), get("/metrics"))
		return body
	}
	for !strings.Contains(figures(), "limekeep_places_held 1\n") {
		time.Sleep(5 * time.Millisecond)
	}
	_, body := ask(t, s.h, get("/"))
	holds(t, body, "Café blue", "Café green", "Café red")
	if strings.Contains(body, "Not worked out yet") {
		t.Error("a place lost its outlook")
	}
	if answer, _ := ask(t, s.h, get("/calendar/secret-of-all-places/limekeep.ics")); answer.StatusCode != http.StatusOK {
		t.Errorf("the calendar of all: %s", answer.Status)
	}
	for _, place := range []string{"blue", "green", "red"} {
		answer, body := ask(t, s.h, get("/at/"+place+"/plan"))
		if answer.StatusCode != http.StatusOK {
			t.Errorf("%s: %s", place, answer.Status)
		}
		holds(t, body, "Café "+place)
	}
}

// A round over the places leads to a visit, whose sitting is of the very tasks, and to what
// is to be loaded.
func TestRoundLeadsToAVisit(t *testing.T) {
	kept := map[string]*sample.Sittings{}
	s := newStreet(t, func(p *web.Places) {
		makeServer := p.Make
		p.Make = func(place string) (*web.Server, error) {
			server, err := makeServer(place)
			kept[place] = &sample.Sittings{}
			server.Sittings = kept[place]
			return server, err
		}
		p.Round = func() (round.Settings, error) { return round.Settings{Who: "Anna", From: "workshop"}, nil }
		p.Van = func(context.Context, []day.Outlook) (round.Van, error) { return round.Van{}, nil }
	}, "blue", "red")
	answer, body := ask(t, s.h, get("/round"))
	if answer.StatusCode != http.StatusOK {
		t.Fatal(answer.Status)
	}
	holds(t, body, "Round of Anna", "Café blue", "on the road", `action="/at/blue/sitting"`, `href="/round/load"`)
	_, form, ok := strings.Cut(body, `action="/at/blue/sitting"`)
	form, _, _ = strings.Cut(form, "</form>")
	var tasks []string
	for _, input := range strings.Split(form, `name="task" value="`)[1:] {
		task, _, _ := strings.Cut(input, `"`)
		tasks = append(tasks, task)
	}
	if !ok || len(tasks) == 0 {
		t.Fatal("the visit has no task")
	}
	answer, _ = ask(t, s.h, post("/at/blue/sitting", url.Values{"task": tasks}))
	to := answer.Header.Get("Location")
	if answer.StatusCode != http.StatusSeeOther || !strings.HasPrefix(to, "/at/blue/sitting/") {
		t.Fatalf("%s to %q", answer.Status, to)
	}
	_, body = ask(t, s.h, get(to))
	holds(t, body, `action="/at/blue/sitting/`)
	begun, err := kept["blue"].BegunSittings(t.Context(), "blue", 1)
	if err != nil || len(begun) != 1 {
		t.Fatal(len(begun), err)
	}
	var list checklist.Checklist
	if err := json.Unmarshal(begun[0].Checklist, &list); err != nil {
		t.Fatal(err)
	}
	var done []string
	for _, x := range list.Items {
		if x.Last {
			done = append(done, x.Task)
		}
	}
	slices.Sort(done)
	slices.Sort(tasks)
	if !slices.Equal(done, tasks) {
		t.Errorf("the sitting is of %v; the visit of %v", done, tasks)
	}
	if answer, _ := ask(t, s.h, get("/round/load?weeks=2")); answer.StatusCode != http.StatusOK {
		t.Errorf("the load list: %s", answer.Status)
	}
	if answer, _ := ask(t, s.h, post("/at/red/sitting", url.Values{"task": {"no/such/task"}})); answer.StatusCode != http.StatusConflict {
		t.Errorf("a visit of a task that is not there: %s", answer.Status)
	}
}
