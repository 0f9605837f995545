package web_test

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/record"
)

// appBook keeps passwords in a slice: all that the pages need of a store.
type appBook struct {
	list  []web.App
	scope string // that was asked for last
	fails error  // given by all, where set
}

func (b *appBook) List(context.Context) ([]web.App, error) { return slices.Clone(b.list), b.fails }

func (b *appBook) Add(_ context.Context, name, scope string) (string, error) {
	b.scope = scope
	if name == "" || b.has(name) {
		return "", cmp.Or[error](b.fails, &record.FieldError{Field: "name", Value: name, Want: "another name"})
	}
	b.list = append(b.list, web.App{Name: name, Created: noon})
	return madeFor(name), b.fails
}

func (b *appBook) Revoke(_ context.Context, name string) error {
	if !b.has(name) {
		return cmp.Or[error](b.fails, &record.UnknownError{What: "app password", Name: name})
	}
	b.list = slices.DeleteFunc(b.list, func(a web.App) bool { return a.Name == name })
	return b.fails
}

func (b *appBook) has(name string) bool {
	return slices.ContainsFunc(b.list, func(a web.App) bool { return a.Name == name })
}

// madeFor is the password that the book makes for an app.
func madeFor(name string) string { return fmt.Sprintf("aaaaa-bbbbb-ccccc-ddddd-%05d", len(name)) }

// twoApps returns a book with one app that was used and one that never was.
func twoApps() *appBook {
	used := record.NewDate(2026, 3, 1)
	return &appBook{list: []web.App{
		{Name: "Desk", Created: noon.AddDate(0, -2, 0)},
		{Name: "Phone, the old one", Created: noon.AddDate(-1, 0, 0), LastUsed: &used},
	}}
}

// withApps lets a server change all that the page of the calendar can.
func withApps(b *appBook) func(*web.Server) {
	return func(s *web.Server) {
		s.Apps = b
		s.NewSecret = func(context.Context) (string, error) { return "another-secret", nil }
	}
}

func TestAppsAreListed(t *testing.T) {
	desk, _ := readKitchen(t)
	_, body := ask(t, open(desk, withApps(twoApps())), get("/calendar"))
	_, apps, found := strings.Cut(body, `id="apps"`)
	if !found {
		t.Fatal("the page says nothing of task apps")
	}
	holds(t, apps, "<strong>Desk</strong>", "never used", "<strong>Phone, the old one</strong>", "Sun 1 Mar 2026",
		`<code class="address">http://example.com/dav/</code>`, `<code class="address">home</code>`,
		`<input type="hidden" name="name" value="Phone, the old one">`)
	_, body = ask(t, open(desk), get("/calendar"))
	if strings.Contains(body, "Task apps") || strings.Contains(body, `action="/apps`) {
		t.Error("the page speaks of task apps where there are none")
	}
	for _, path := range []string{"/apps", "/apps/revoke"} {
		if answer, _ := ask(t, open(desk), post(path, url.Values{"name": {"Phone"}})); answer.StatusCode != http.StatusMethodNotAllowed {
			t.Errorf("%s where there are none: status %d", path, answer.StatusCode)
		}
	}
}

// The password is on the page that its making leads to, and on no other.
func TestAppIsLetIn(t *testing.T) {
	desk, _ := readKitchen(t)
	book := twoApps()
	h := open(desk, withApps(book), func(s *web.Server) { s.BaseURL = "https://care.example" })
	answer, body := ask(t, h, post("/apps", url.Values{"name": {"  Watch "}}))
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Cache-Control") != "no-store" {
		t.Fatalf("status %d, %s", answer.StatusCode, answer.Header.Get("Cache-Control"))
	}
	password := madeFor("Watch")
	made, rest, found := strings.Cut(body, `id="subscribe"`)
	if !found {
		t.Fatal("the page ends early")
	}
	holds(t, made, "Password for Watch", password, "https://care.example/dav/", `<code class="address">home</code>`)
	if read := readCode(t, made, "the password for Watch"); read != password {
		t.Errorf("the code holds %q", read)
	}
	if strings.Count(body, password) != 1 {
		t.Error("the password stands on the page more than once")
	}
	holds(t, rest, "<strong>Watch</strong>")
	_, later := ask(t, h, get("/calendar"))
	if strings.Contains(later, password) || !strings.Contains(later, "<strong>Watch</strong>") {
		t.Error("the password is shown again, or its app is not")
	}
	for _, name := range []string{"", "Watch", "Watch "} {
		answer, body := ask(t, h, post("/apps", url.Values{"name": {name}}))
		if answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%q: status %d", name, answer.StatusCode)
		}
		holds(t, body, `id="name-problem"`, `aria-describedby="name-problem"`, fmt.Sprintf(`name="name" value="%s"`, strings.TrimSpace(name)))
		if strings.Contains(body, "Password for") {
			t.Errorf("%q: a password was made", name)
		}
	}
	if len(book.list) != 3 {
		t.Errorf("%d apps have a password, not 3", len(book.list))
	}
}

func TestAppIsShutOut(t *testing.T) {
	desk, _ := readKitchen(t)
	book := twoApps()
	h := open(desk, withApps(book))
	answer, _ := ask(t, h, post("/apps/revoke", url.Values{"name": {"Desk"}}))
	if at := answer.Header.Get("Location"); answer.StatusCode != http.StatusSeeOther || at != "/calendar?done=revoked" {
		t.Fatalf("status %d, to %s", answer.StatusCode, at)
	}
	if book.has("Desk") || !book.has("Phone, the old one") {
		t.Errorf("left are %v", book.list)
	}
	_, body := ask(t, h, get("/calendar?done=revoked"))
	holds(t, body, `class="notice"`, "is revoked")
	if answer, _ := ask(t, h, post("/apps/revoke", url.Values{"name": {"Desk"}})); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a second time: status %d", answer.StatusCode)
	}
	if _, body := ask(t, h, get("/calendar?done=%3Cb%3Ewon")); strings.Contains(body, `class="notice"`) || strings.Contains(body, "won") {
		t.Error("a link puts words on the page")
	}
}

func TestAppsThatCannotBeRead(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk, withApps(&appBook{fails: errors.New("the disk /secret/path is full")}))
	for _, r := range []*http.Request{get("/calendar"), post("/apps", url.Values{"name": {"x"}}), post("/apps/revoke", url.Values{"name": {"x"}})} {
		answer, body := ask(t, h, r)
		if answer.StatusCode != http.StatusInternalServerError || strings.Contains(body, "/secret/path") || strings.Contains(body, madeFor("x")) {
			t.Errorf("%s %s: status %d", r.Method, r.URL.Path, answer.StatusCode)
		}
	}
	for _, path := range []string{"/apps", "/apps/revoke", "/address/new"} {
		r := request(http.MethodPost, path, `{"name":"x"}`, "Content-Type", "application/json")
		if answer, _ := ask(t, open(desk, withApps(twoApps())), r); answer.StatusCode != http.StatusUnsupportedMediaType {
			t.Errorf("%s as JSON: status %d", path, answer.StatusCode)
		}
		foreign := post(path, url.Values{"name": {"Desk"}, "confirm": {"yes"}}, "Origin", "https://elsewhere.example")
		if answer, _ := ask(t, open(desk, withApps(twoApps())), foreign); answer.StatusCode != http.StatusForbidden {
			t.Errorf("%s from another site: status %d", path, answer.StatusCode)
		}
	}
}
