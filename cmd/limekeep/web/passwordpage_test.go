package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/web"
)

// The password is changed by whoever knows it, taken away, and set where there is none;
// every browser is signed out by that. What is wrong changes nothing, and is not shown
// again.
func TestPasswordIsChanged(t *testing.T) {
	h, book, _ := guarded(t)
	const path, next = "/settings/password", "another good one"
	signedIn := func(form url.Values) (int, string, string) {
		t.Helper()
		answer, _ := ask(t, h, post("/sign-in", url.Values{"password": {book.password}}))
		cookie := answer.Cookies()[0]
		r := post(path, form)
		r.AddCookie(cookie)
		answer, body := ask(t, h, r)
		return answer.StatusCode, body, cookie.Value
	}
	if answer, _ := ask(t, h, post(path, url.Values{"password": {next}, "again": {next}})); answer.StatusCode != http.StatusUnauthorized || book.password != rightPassword {
		t.Errorf("not signed in: status %d", answer.StatusCode)
	}
	for name, c := range map[string]struct {
		form  url.Values
		input string
	}{
		"without the one before": {url.Values{"password": {next}, "again": {next}}, "now"},
		"a wrong one before":     {url.Values{"now": {"guessed"}, "password": {next}, "again": {next}}, "now"},
		"not the same":           {url.Values{"now": {rightPassword}, "password": {next}, "again": {next + "x"}}, "again"},
		"too short":              {url.Values{"now": {rightPassword}, "password": {"short"}, "again": {"short"}}, "password"},
		"nothing":                {url.Values{"now": {rightPassword}}, "password"},
		"one and none":           {url.Values{"now": {rightPassword}, "password": {next}, "again": {next}, "none": {"yes"}}, "password"},
	} {
		status, body, _ := signedIn(c.form)
		if status != http.StatusUnprocessableEntity || book.password != rightPassword || strings.Contains(body, next) || strings.Contains(body, "guessed") {
			t.Errorf("%s: status %d", name, status)
		}
		holds(t, body, `id="`+c.input+`-problem"`)
		time.Sleep(time.Millisecond)
	}
	status, _, cookie := signedIn(url.Values{"now": {rightPassword}, "password": {next}, "again": {next}})
	if status != http.StatusSeeOther || book.password != next || book.sessions[cookie] {
		t.Errorf("changed: status %d", status)
	}
	if status, _, _ = signedIn(url.Values{"now": {next}, "none": {"yes"}}); status != http.StatusSeeOther || book.password != "" {
		t.Errorf("taken away: status %d", status)
	}
	if answer, _ := ask(t, h, post(path, url.Values{"password": {next}, "again": {next}})); answer.StatusCode != http.StatusSeeOther || book.password != next {
		t.Errorf("set where there was none: status %d", answer.StatusCode)
	}
}

// A program gets a token of its own on the page of apps, for what it is to do.
func TestTokensAreMadeOnAPage(t *testing.T) {
	desk, _ := readKitchen(t)
	apps := twoApps()
	h := open(desk, withApps(apps), func(*web.Server) {})
	answer, body := ask(t, h, post("/apps", url.Values{"name": {"Flow meter"}, "opens": {"use"}}))
	if answer.StatusCode != http.StatusOK || apps.scope != "use" {
		t.Errorf("status %d, for %q", answer.StatusCode, apps.scope)
	}
	holds(t, body, "Authorization: Bearer", "Token</dt>")
	if answer, body := ask(t, h, post("/apps", url.Values{"name": {"Other"}, "opens": {"everything"}})); answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, `id="opens-problem"`) {
		t.Errorf("status %d", answer.StatusCode)
	}
}
