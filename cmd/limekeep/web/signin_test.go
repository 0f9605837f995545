package web_test

import (
	"bytes"
	"context"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"sync"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/record"
)

// ownerBook keeps a password and sessions in memory.
type ownerBook struct {
	mu       sync.Mutex
	password string
	link     string
	sessions map[string]bool
	begun    int
}

func (b *ownerBook) HasPassword(context.Context) (bool, error) { return b.password != "", nil }

func (b *ownerBook) Check(_ context.Context, password string) (bool, error) {
	return password == b.password, nil
}

func (b *ownerBook) Begin(context.Context, string) (string, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.begun++
	token := strings.Repeat(string(rune('a'+b.begun)), 20)
	b.sessions[token] = true
	return token, nil
}

func (b *ownerBook) Known(_ context.Context, token string) (bool, error) {
	return b.sessions[token], nil
}

func (b *ownerBook) End(_ context.Context, token string) error {
	delete(b.sessions, token)
	return nil
}

func (b *ownerBook) Set(_ context.Context, password string) error {
	if password != "" && len(password) < 8 {
		return &record.FieldError{Field: "password", Want: "8 characters or more"}
	}
	b.password, b.sessions = password, map[string]bool{}
	return nil
}

func (b *ownerBook) EndAll(context.Context) error {
	b.sessions = map[string]bool{}
	return nil
}

func (b *ownerBook) LinkKnown(_ context.Context, secret string) (bool, error) {
	return b.link != "" && secret == b.link, nil
}

func (b *ownerBook) SetByLink(_ context.Context, secret, password string) (bool, error) {
	if b.link == "" || secret != b.link {
		return false, nil
	}
	if len(password) < 8 {
		return true, &record.FieldError{Field: "password", Want: "8 characters or more"}
	}
	b.password, b.link = password, ""
	return true, nil
}

const rightPassword = "steam, lime & patience"

// guarded returns a server that asks for a password, with what it logs.
func guarded(t *testing.T, change ...func(*web.Server)) (http.Handler, *ownerBook, *bytes.Buffer) {
	t.Helper()
	desk, _ := readKitchen(t)
	book := &ownerBook{password: rightPassword, sessions: map[string]bool{}}
	var log bytes.Buffer
	changes := append([]func(*web.Server){logged(&log), func(s *web.Server) {
		s.Owner = book
		s.CheckToken = func(_ context.Context, token, scope string) (string, bool, error) {
			return "bar scale", token == "token-for-"+scope+"-and-nothing-else", nil
		}
	}}, change...)
	return open(desk, changes...), book, &log
}

// signIn sends the password, and returns the answer with the cookie it set.
func signIn(t *testing.T, h http.Handler, password string, headers ...string) (*http.Response, *http.Cookie) {
	t.Helper()
	answer, _ := ask(t, h, post("/sign-in", url.Values{"password": {password}, "next": {"/plan"}}, headers...))
	for _, c := range answer.Cookies() {
		return answer, c
	}
	return answer, nil
}

func with(r *http.Request, cookie *http.Cookie) *http.Request {
	r.AddCookie(cookie)
	return r
}

func TestPagesAskToSignIn(t *testing.T) {
	h, book, log := guarded(t)
	for _, path := range []string{"/", "/plan", "/history", "/calendar", "/use", "/water/new", "/tasks/bench/descale/steam", "/nowhere"} {
		answer, body := ask(t, h, get(path))
		if answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/sign-in?next="+url.QueryEscape(path) {
			t.Errorf("GET %s: %d to %q", path, answer.StatusCode, answer.Header.Get("Location"))
		}
		if strings.Contains(body, "kitchen") {
			t.Errorf("GET %s tells of the place", path)
		}
	}
	for _, path := range []string{"/water", "/use/shots", "/apps", "/address/new", "/history/6/take-back"} {
		if answer, _ := ask(t, h, post(path, url.Values{})); answer.StatusCode != http.StatusUnauthorized {
			t.Errorf("POST %s: %d", path, answer.StatusCode)
		}
	}
	if answer, _ := ask(t, h, get("/api/due")); answer.StatusCode != http.StatusUnauthorized || answer.Header.Get("WWW-Authenticate") == "" {
		t.Errorf("JSON: %d", answer.StatusCode)
	}
	for _, path := range []string{"/sign-in", "/static/style.css", "/healthz", feed} {
		if answer, _ := ask(t, h, get(path)); answer.StatusCode != http.StatusOK {
			t.Errorf("GET %s: %d, and it is for all", path, answer.StatusCode)
		}
	}
	if answer, cookie := signIn(t, h, "wrong"); answer.StatusCode != http.StatusUnprocessableEntity || cookie != nil {
		t.Errorf("a wrong password: %d, %v", answer.StatusCode, cookie)
	}
	answer, cookie := signIn(t, h, rightPassword)
	if answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/plan" || cookie == nil {
		t.Fatalf("signing in: %d to %q with %v", answer.StatusCode, answer.Header.Get("Location"), cookie)
	}
	if !cookie.HttpOnly || cookie.SameSite != http.SameSiteLaxMode || cookie.Path != "/" || cookie.Domain != "" {
		t.Errorf("the cookie is %v", cookie)
	}
	answer, body := ask(t, h, with(get("/plan"), cookie))
	if answer.StatusCode != http.StatusOK {
		t.Errorf("signed in: %d", answer.StatusCode)
	}
	holds(t, body, "Sign out")
	if answer, _ = ask(t, h, with(post("/sign-out", url.Values{}), cookie)); answer.StatusCode != http.StatusSeeOther || len(book.sessions) != 0 {
		t.Errorf("signing out: %d, %d sessions", answer.StatusCode, len(book.sessions))
	}
	if answer, _ = ask(t, h, with(get("/plan"), cookie)); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("signed out, and the old cookie opens the plan: %d", answer.StatusCode)
	}
	text := log.String()
	holds(t, text, "a sign-in failed", "somebody signed in", "address=192.0.2.1")
	for _, secret := range []string{rightPassword, "wrong", cookie.Value} {
		if strings.Contains(text, secret) {
			t.Errorf("the log holds %q", secret)
		}
	}
}

// A session that somebody else knew of before is none afterwards (session fixation).
func TestSessionFixation(t *testing.T) {
	h, book, _ := guarded(t)
	planted := &http.Cookie{Name: "limekeep", Value: "planted-by-somebody-else"}
	book.sessions[planted.Value] = true
	answer, _ := ask(t, h, with(post("/sign-in", url.Values{"password": {rightPassword}}), planted))
	if c := answer.Cookies(); len(c) != 1 || c[0].Value == planted.Value {
		t.Errorf("signed in under the name that was planted: %v", c)
	}
	if book.sessions[planted.Value] {
		t.Error("the planted session is still good")
	}
}

// Where a sign-in leads is a page of ours, whatever a link says.
func TestSignInLeadsNowhereElse(t *testing.T) {
	h, _, _ := guarded(t)
	for _, next := range []string{"https://evil.example/", "//evil.example/", "/\\evil.example", "javascript:alert(1)", "\\\\evil.example", "/\r\nSet-Cookie: a=b", "http:evil.example", "", "plan", "/sign-out"} {
		answer, _ := ask(t, h, post("/sign-in", url.Values{"password": {rightPassword}, "next": {next}}))
		if to := answer.Header.Get("Location"); to != "/" {
			t.Errorf("%q leads to %q", next, to)
		}
	}
}

// After a few wrong passwords the next is not even looked at, for the address and for a
// little while for everybody; the right one is refused as well, or guessing would go on.
func TestSignInBacksOff(t *testing.T) {
	h, _, log := guarded(t)
	for range 6 {
		if answer, _ := signIn(t, h, "guess"); answer.StatusCode != http.StatusUnprocessableEntity {
			t.Fatalf("status %d before the bound", answer.StatusCode)
		}
	}
	answer, cookie := signIn(t, h, rightPassword)
	if answer.StatusCode != http.StatusTooManyRequests || answer.Header.Get("Retry-After") == "" || cookie != nil {
		t.Errorf("the seventh: %d, Retry-After %q", answer.StatusCode, answer.Header.Get("Retry-After"))
	}
	holds(t, log.String(), "too many went wrong")
}

// A header that anybody can write changes no address: only a server in front that is
// trusted is believed, and the cookie is secure where that says so.
func TestForwardedAddresses(t *testing.T) {
	for _, c := range []struct {
		name    string
		trusted []netip.Prefix
		headers []string
		address string
		secure  bool
	}{
		{"nobody is trusted", nil, []string{"X-Forwarded-For", "203.0.113.9", "X-Forwarded-Proto", "https"}, "192.0.2.1", false},
		{"the server in front", []netip.Prefix{netip.MustParsePrefix("192.0.2.0/24")}, []string{"X-Forwarded-For", "203.0.113.9", "X-Forwarded-Proto", "https"}, "203.0.113.9", true},
		{"what the client wrote before it", []netip.Prefix{netip.MustParsePrefix("192.0.2.0/24")}, []string{"X-Forwarded-For", "10.9.9.9, 203.0.113.9"}, "203.0.113.9", false},
		{"nonsense", []netip.Prefix{netip.MustParsePrefix("192.0.2.0/24")}, []string{"X-Forwarded-For", "\"><script>"}, "192.0.2.1", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			h, _, log := guarded(t, func(s *web.Server) { s.TrustedProxies = c.trusted })
			_, cookie := signIn(t, h, rightPassword, c.headers...)
			if cookie == nil || cookie.Secure != c.secure || (cookie.Name == "__Host-limekeep") != c.secure {
				t.Errorf("the cookie is %v", cookie)
			}
			holds(t, log.String(), "address="+c.address)
		})
	}
}

// A token opens what it was made for and nothing else.
func TestTokens(t *testing.T) {
	h, _, log := guarded(t)
	bearer := func(r *http.Request, scope string) *http.Request {
		r.Header.Set("Authorization", "Bearer token-for-"+scope+"-and-nothing-else")
		return r
	}
	bad := url.Values{"shots-shots": {"none"}} // it gets as far as the form, and no further
	for _, c := range []struct {
		scope   string
		request *http.Request
		status  int
	}{
		{"all", get("/api/due"), http.StatusOK},
		{"all", get("/"), http.StatusOK},
		{"use", get("/api/due"), http.StatusUnauthorized},
		{"use", get("/use"), http.StatusSeeOther},
		{"use", post("/use/shots", bad), http.StatusUnprocessableEntity},
		{"use", post("/water", url.Values{}), http.StatusUnauthorized},
		{"feed", post("/use/shots", bad), http.StatusUnauthorized},
		{"feed", get("/"), http.StatusSeeOther},
	} {
		if answer, _ := ask(t, h, bearer(c.request, c.scope)); answer.StatusCode != c.status {
			t.Errorf("%s for %s %s: %d, want %d", c.scope, c.request.Method, c.request.URL.Path, answer.StatusCode, c.status)
		}
	}
	if answer, _ := ask(t, h, get("/calendar/token-for-feed-and-nothing-else/limekeep.ics")); answer.StatusCode != http.StatusOK {
		t.Errorf("the calendar by its token: %d", answer.StatusCode)
	}
	if answer, _ := ask(t, h, get("/calendar/token-for-use-and-nothing-else/limekeep.ics")); answer.StatusCode == http.StatusOK {
		t.Error("a token for use opens the calendar")
	}
	if strings.Contains(log.String(), "nothing-else") {
		t.Error("the log holds a token")
	}
}

func TestSetPasswordByLink(t *testing.T) {
	h, book, _ := guarded(t, func(s *web.Server) { s.MustHavePassword = true })
	book.password, book.link = "", "the-link"
	if answer, body := ask(t, h, get("/")); answer.StatusCode != http.StatusServiceUnavailable {
		t.Errorf("no password is set, and the pages are open: %d", answer.StatusCode)
	} else {
		holds(t, body, "limekeep password set")
	}
	if answer, _ := ask(t, h, get("/set-password/another")); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a link that is none: %d", answer.StatusCode)
	}
	answer, body := ask(t, h, get("/set-password/the-link"))
	if answer.StatusCode != http.StatusOK {
		t.Fatalf("the link: %d", answer.StatusCode)
	}
	holds(t, body, `type="password"`, "once more")
	set := func(link, one, two string) *http.Response {
		answer, _ := ask(t, h, post("/set-password/"+link, url.Values{"password": {one}, "again": {two}}))
		return answer
	}
	for _, c := range []struct {
		link, one, two string
		status         int
	}{
		{"another", "a good password", "a good password", http.StatusNotFound},
		{"the-link", "a good password", "a bad password", http.StatusUnprocessableEntity},
		{"the-link", "short", "short", http.StatusUnprocessableEntity},
		{"the-link", "a good password", "a good password", http.StatusSeeOther},
		{"the-link", "another password", "another password", http.StatusNotFound},
	} {
		if answer := set(c.link, c.one, c.two); answer.StatusCode != c.status {
			t.Errorf("%s with %q and %q: %d, want %d", c.link, c.one, c.two, answer.StatusCode, c.status)
		}
	}
	if book.password != "a good password" {
		t.Errorf("the password is %q", book.password)
	}
}

// What other sites send is refused on the way in as well (forged requests).
func TestForgedSignIn(t *testing.T) {
	h, _, _ := guarded(t)
	for _, path := range []string{"/sign-in", "/sign-out"} {
		answer, _ := ask(t, h, post(path, url.Values{"password": {rightPassword}}, "Origin", "https://evil.example", "Sec-Fetch-Site", "cross-site"))
		if answer.StatusCode != http.StatusForbidden || len(answer.Cookies()) != 0 {
			t.Errorf("POST %s from elsewhere: %d, %v", path, answer.StatusCode, answer.Cookies())
		}
	}
}
