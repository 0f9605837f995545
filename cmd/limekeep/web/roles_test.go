package web_test

import (
	"context"
	"maps"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/schedule/record"
)

var (
	patternOf = regexp.MustCompile(`HandleFunc\(([^,]+),`)
	pathOf    = regexp.MustCompile(`(\w+Path)\s*=\s*"([^"]+)"`)
	belowOf   = regexp.MustCompile(`(\w+Path)\s*=\s*(\w+Path)\s*\+\s*"([^"]+)"`)
)

// routes reads from the source which addresses the pages answer at, so that no new one is
// forgotten.
func routes(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	known := map[string]string{}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(text))
		for _, m := range pathOf.FindAllStringSubmatch(string(text), -1) {
			known[m[1]] = m[2]
		}
	}
	for _, text := range texts {
		for _, m := range belowOf.FindAllStringSubmatch(text, -1) {
			known[m[1]] = known[m[2]] + m[3]
		}
	}
	var all []string
	for _, text := range texts {
		for _, m := range patternOf.FindAllStringSubmatch(text, -1) {
			route := ""
			for part := range strings.SplitSeq(m[1], "+") {
				part = strings.TrimSpace(part)
				if literal, ok := strings.CutPrefix(part, `"`); ok {
					route += strings.TrimSuffix(literal, `"`)
				} else if path, ok := known[part]; ok {
					route += path
				} else {
					t.Fatalf("the address %s is not known", m[1])
				}
			}
			if !slices.Contains(all, route) {
				all = append(all, route)
			}
		}
	}
	slices.Sort(all)
	return all
}

// May, role by route: T for technicians, S for staff, R for readers. What is not here is
// the owner's alone, and a new address must be put in one or the other.
var allowed = map[string]string{
	"GET /": "", "GET /{$}": "TSR", "GET /about": "TSR", "GET /dates": "TSR", "POST /dates": "TSR", "POST /sign-out": "TSR",
	"GET /static/icon.svg": "TSR", "GET /static/page.js": "TSR", "GET /static/style.css": "TSR", "GET /static/water.js": "TSR",
	"GET /plan": "TR", "GET /water": "TR", "GET /water/compare": "TR", "GET /equipment": "TR", "GET /equipment/{id}": "TR", "GET /equipment/{id}/{vessel}": "TR",
	"GET /history": "TR", "GET /score": "TR", "GET /print/plan": "TR", "GET /print/report/{id}": "TR", "GET /print/sitting": "TR",
	"GET /use": "TSR", "GET /tasks/{id...}": "TSR", "GET /api/due": "TR", "GET /places": "TR", "GET /places.json": "TR",
	"GET /places/compare": "TR", "GET /places/compare.csv": "TR", "GET /places/compare.json": "TR",
	"GET /record": "TS", "GET /record/{id}": "TS", "POST /routine": "TS", "POST /use/{form}": "TS",
	"POST /tasks/{id...}": "T", "POST /tasks/{id...}/done": "TS", "POST /water": "T", "GET /water/new": "T", "POST /plan/{form}": "T",
	"GET /history/{record}/take-back": "T", "POST /history/{record}/take-back": "T",
	"GET /use/import": "T", "GET /use/import/{id}": "T", "POST /use/import": "T", "POST /use/import/{id}": "T",
	"POST /sitting": "T", "GET /sitting/{id}": "T", "POST /sitting/{id}/{word}": "T", "GET /labels": "T", "GET /round": "T", "GET /round/load": "T",
	"GET /round.json": "T", "POST /round/book": "T", "GET /van": "T", "POST /van": "T",
	"GET /visits": "TR", "POST /visits": "T", "GET /visits/{record}": "TR", "POST /visits/{record}/{word}": "T", "GET /reports/{record}": "TR", "GET /print/visit/{record}": "TR",
}

// owners are the addresses that are the owner's alone; those of signing in are open to
// who is not signed in, which is another matter.
var owners = []string{
	"GET /settings/add", "GET /settings/add/tools", "GET /settings/add/{what}", "POST /settings/add/tools", "POST /settings/add/{what}", "GET /calendar", "GET /calendar.ics", "POST /address/new", "POST /apps", "POST /apps/revoke",
	"GET /settings/care", "POST /settings/care/off", "POST /settings/care/on", "POST /settings/care/tasks",
	"GET /own-calendar", "POST /own-calendar/address", "POST /own-calendar/file", "POST /own-calendar/remove",
	"GET /places/table", "GET /places/table.csv", "POST /places/table", "GET /places/table/{id}", "POST /places/table/{id}",
	"GET /places/calendar", "POST /places/calendar/apps", "POST /places/calendar/new", "POST /places/calendar/revoke",
	"GET /settings", "GET /settings/equipment/{id}", "GET /settings/equipment/{id}/retire", "POST /settings/equipment/{id}", "POST /settings/equipment/{id}/retire", "POST /settings/{section}",
	"GET /settings/password", "POST /settings/password", "POST /settings/password/sign-out",
	"GET /setup", "POST /setup", "GET /sign-in", "POST /sign-in", "GET /set-password/{secret}", "POST /set-password/{secret}", "GET /invited/{secret}", "POST /invited/{secret}",
	"GET /people", "POST /people", "POST /people/change", "POST /people/remove",
	"GET /history.csv", "GET /history.json", "GET /score.json", "GET /api/answer/{record}",
}

var filling = regexp.MustCompile(`\{[^}]+\}`)

func TestEachRoleAtEachRoute(t *testing.T) {
	all := routes(t)
	all = append(all, "POST /tasks/{id...}/done")
	letters := map[roles.Role]string{roles.Technician: "T", roles.Staff: "S", roles.Reader: "R"}
	for _, route := range all {
		want, listed := allowed[route]
		if !listed && !slices.Contains(owners, route) {
			t.Errorf("%s is in neither list: say who may ask for it", route)
			continue
		}
		if route == "GET /" {
			continue // whatever has no page
		}
		method, path, _ := strings.Cut(route, " ")
		path = filling.ReplaceAllString(strings.Replace(path, "{$}", "", 1), "x")
		if !roles.May(roles.Owner, method, path) {
			t.Errorf("the owner may not %s", route)
		}
		for role, letter := range letters {
			if got := roles.May(role, method, path); got != strings.Contains(want, letter) {
				t.Errorf("%s may %s: %t", role, route, got)
			}
			if roles.May(role, http.MethodPut, path) || roles.May(role, http.MethodDelete, path) {
				t.Errorf("%s may PUT or DELETE %s", role, path)
			}
		}
	}
	for route := range allowed {
		if !slices.Contains(all, route) {
			t.Errorf("%s is answered nowhere", route)
		}
	}
	for _, path := range []string{"/tasks/../settings", "//settings", "/use/../calendar", "/equipment//..//apps", "/no/such/page", "/api/v1/records"} {
		for role := range letters {
			if roles.May(role, http.MethodGet, path) {
				t.Errorf("%s may ask for %s", role, path)
			}
		}
	}
}

// guests knows who came in by a cookie.
type guests map[string]*web.Person

func (g guests) Of(_ context.Context, token string) (*web.Person, error) { return g[token], nil }

func (g guests) Invited(_ context.Context, secret string) (*web.Person, error) { return g[secret], nil }

func (g guests) List(context.Context) ([]web.Person, error) {
	var all []web.Person
	for _, name := range slices.Sorted(maps.Keys(g)) {
		all = append(all, *g[name])
	}
	return all, nil
}

func (g guests) Invite(_ context.Context, p web.Person) (string, error) {
	if !slices.Contains([]roles.Role{roles.Technician, roles.Staff, roles.Reader}, p.Role) {
		return "", &record.FieldError{Field: "role", Value: string(p.Role), Want: "a role"}
	}
	g[p.Name] = &p
	return "secret-link", nil
}

func (g guests) Change(_ context.Context, p web.Person) error { g[p.Name] = &p; return nil }

func (g guests) Remove(_ context.Context, name string) error { delete(g, name); return nil }

func (g guests) Accept(_ context.Context, secret, _ string) (string, bool, error) {
	return secret, g[secret] != nil, nil
}

// doorman knows everybody who carries something.
type doorman struct{ web.Owner }

func (doorman) HasPassword(context.Context) (bool, error)           { return true, nil }
func (doorman) Known(_ context.Context, token string) (bool, error) { return token != "", nil }

// Who was invited comes to their places alone, sees what their role is for, and what they
// write down carries their name.
func TestInvitedPeople(t *testing.T) {
	people := guests{
		"anna": {Name: "Anna", Role: roles.Technician, Places: []string{"blue"}},
		"sam":  {Name: "Sam", Role: roles.Staff, Places: []string{"blue"}},
		"rita": {Name: "Rita", Role: roles.Reader},
	}
	s := newStreet(t, func(p *web.Places) {
		p.Front.Owner, p.Front.People, p.Front.All = doorman{}, people, true
		makeServer := p.Make
		p.Make = func(place string) (*web.Server, error) {
			server, err := makeServer(place)
			server.Owner, server.People = doorman{}, people
			return server, err
		}
	}, "blue", "red")
	as := func(who string, r *http.Request) (*http.Response, string) {
		if who != "" {
			r.AddCookie(&http.Cookie{Name: "limekeep", Value: who})
		}
		return ask(t, s.h, r)
	}
	for _, c := range []struct {
		who, path string
		status    int
	}{
		{"", "/", http.StatusSeeOther}, {"", "/at/blue/", http.StatusSeeOther}, {"", "/invited/anna", http.StatusOK}, {"", "/invited/nobody", http.StatusNotFound},
		{"owner", "/", http.StatusOK}, {"owner", "/at/red/settings", http.StatusOK}, {"owner", "/places/calendar", http.StatusOK},
		{"anna", "/", http.StatusOK}, {"anna", "/at/blue/plan", http.StatusOK}, {"anna", "/at/red/plan", http.StatusForbidden}, {"anna", "/at/blue/settings", http.StatusForbidden},
		{"anna", "/at/blue/calendar", http.StatusForbidden}, {"anna", "/places/calendar", http.StatusForbidden}, {"anna", "/at/blue/api/v1/summary", http.StatusForbidden},
		{"sam", "/", http.StatusSeeOther}, {"sam", "/at/blue/", http.StatusOK}, {"sam", "/at/blue/plan", http.StatusForbidden}, {"sam", "/at/red/", http.StatusForbidden}, {"sam", "/places.json", http.StatusForbidden},
		{"rita", "/at/red/history", http.StatusOK}, {"rita", "/at/red/record", http.StatusForbidden}, {"rita", "/at/red/calendar.ics", http.StatusForbidden},
	} {
		if answer, _ := as(c.who, get(c.path)); answer.StatusCode != c.status {
			t.Errorf("%q asks for %s: %s", c.who, c.path, answer.Status)
		}
	}
	if _, body := as("anna", get("/")); strings.Contains(body, "/at/red/") {
		t.Error("the overview shows a place that is not hers")
	}
	_, body := as("sam", get("/at/blue/"))
	if holds(t, body, "Routine", "Something was done or found"); strings.Contains(body, "Next") && strings.Contains(body, `class="next"`) || strings.Contains(body, `href="/at/blue/plan"`) {
		t.Error("staff see the technician's list")
	}
	// What the menus lead to is open to whoever sees them.
	for who, path := range map[string]string{"anna": "/at/blue/", "sam": "/at/blue/", "rita": "/at/blue/", "owner": "/at/blue/"} {
		_, body := as(who, get(path))
		links := 0
		for _, nav := range regexp.MustCompile(`(?s)<nav.*?</nav>`).FindAllString(body, -1) {
			for _, link := range regexp.MustCompile(`href="([^"]+)"`).FindAllStringSubmatch(nav, -1) {
				links++
				if answer, _ := as(who, get(link[1])); answer.StatusCode != http.StatusOK {
					t.Errorf("%s is led to %s: %s", who, link[1], answer.Status)
				}
			}
		}
		if links < 4 || strings.Contains(body, `class="guest reads"`) != (who == "rita") {
			t.Errorf("%s sees %d links", who, links)
		}
	}
	if _, body := as("owner", get("/at/blue/")); !strings.Contains(body, `href="/at/blue/plan"`) {
		t.Error("the owner sees what was put together for staff")
	}
	done := url.Values{"date": {"2026-03-01"}, "ticket": {"by-a-guest"}}
	if answer, _ := as("rita", post("/at/blue/tasks/machine/steam-tips/done", done)); answer.StatusCode != http.StatusForbidden {
		t.Errorf("a reader writes: %s", answer.Status)
	}
	if n := len(s.records.Of(record.KindService)); n != 0 {
		t.Fatalf("%d services by a reader", n)
	}
	if answer, _ := as("sam", post("/at/blue/tasks/machine/steam-tips/done", done)); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("staff write what was done: %s", answer.Status)
	}
	if services := s.records.Of(record.KindService); len(services) != 1 || services[0].Source != "page: Sam" {
		t.Errorf("%d services, %v", len(services), services)
	}
	if answer, _ := as("", post("/invited/anna", url.Values{})); answer.StatusCode != http.StatusSeeOther || len(answer.Cookies()) != 1 || answer.Cookies()[0].Value != "anna" {
		t.Errorf("the invitation: %s with %v", answer.Status, answer.Cookies())
	}
}
