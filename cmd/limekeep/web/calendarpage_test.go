package web_test

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
)

func TestCalendarPageTellsTheAddresses(t *testing.T) {
	desk, _ := readKitchen(t)
	for _, c := range []struct {
		name   string
		host   string
		change func(*web.Server)
		want   []string
		not    []string
	}{
		{
			name: "this computer alone", host: "localhost:8080", change: func(*web.Server) {},
			want: []string{
				`<code class="address">http://localhost:8080/calendar/` + secret + `/limekeep.ics</code>`, `href="webcal://localhost:8080/calendar/` + secret + `/limekeep.ics"`,
				"http://localhost:8080/calendar/" + secret + "/equipment/bench.ics", "webcal://localhost:8080/calendar/" + secret + "/equipment/tap.ics", "on this computer only",
			},
		},
		{
			name: "home network", host: "192.168.1.20:8080", change: func(*web.Server) {},
			want: []string{"http://192.168.1.20:8080/calendar/", "webcal://192.168.1.20:8080/calendar/", "everybody who reaches it can read"},
			not:  []string{"on this computer only", "Google"},
		},
		{
			name: "behind TLS", host: "127.0.0.1:8080", change: func(s *web.Server) { s.BaseURL = "https://care.example/" },
			want: []string{"https://care.example/calendar/", "webcal://care.example/calendar/", "Google Calendar"},
			not:  []string{"127.0.0.1", "on this computer only"},
		},
		{
			name: "no secret", host: "localhost", change: func(s *web.Server) { s.Secret = nil },
			want: []string{"There is no subscription address"},
			not:  []string{"webcal:", `action="/address/new"`},
		},
		{
			name: "a secret that stays", host: "localhost", change: func(*web.Server) {},
			want: []string{"webcal:"},
			not:  []string{`action="/address/new"`},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := get("/calendar")
			r.Host = c.host
			answer, body := ask(t, open(desk, c.change), r)
			if answer.StatusCode != http.StatusOK {
				t.Fatalf("status %d", answer.StatusCode)
			}
			holds(t, body, c.want...)
			for _, not := range c.not {
				if strings.Contains(body, not) {
					t.Errorf("the page holds %q", not)
				}
			}
		})
	}
	r := get("/calendar")
	r.Host = ""
	if answer, _ := ask(t, open(desk), r); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("without a host: status %d", answer.StatusCode)
	}
}

// What a camera reads off the page is what the button leads to.
func TestCalendarPageCodesHoldTheAddresses(t *testing.T) {
	desk, _ := readKitchen(t)
	_, body := ask(t, open(desk, func(s *web.Server) { s.BaseURL = "https://care.example" }), get("/calendar"))
	for name, path := range map[string]string{
		"The kitchen": "limekeep.ics", "Machine on the bench": "equipment/bench.ics", "Grinder": "equipment/grinder.ics", "Kitchen tap": "equipment/tap.ics",
	} {
		want := "webcal://care.example/calendar/" + secret + "/" + path
		holds(t, body, `href="`+want+`"`)
		if read := readCode(t, body, "the address of the calendar of "+name); read != want {
			t.Errorf("the code of %s holds %q, not %q", name, read, want)
		}
	}
}

func TestCalendarAddressIsReplaced(t *testing.T) {
	desk, _ := writtenKitchen(t) // a calendar that is fetched is published
	now := secret
	h := open(desk, withApps(twoApps()), func(s *web.Server) {
		s.Secret = func(context.Context) (string, error) { return now, nil }
		s.NewSecret = func(context.Context) (string, error) { now += "-new"; return now, nil }
	})
	for _, confirm := range []string{"", "no"} {
		answer, body := ask(t, h, post("/address/new", url.Values{"confirm": {confirm}}))
		if answer.StatusCode != http.StatusUnprocessableEntity || now != secret {
			t.Errorf("confirm=%q: status %d, the secret is %s", confirm, answer.StatusCode, now)
		}
		holds(t, body, `id="confirm-problem"`, `aria-describedby="confirm-problem"`)
	}
	// What stands in the address confirms nothing: a link cannot fill in a form.
	if answer, _ := ask(t, h, post("/address/new?confirm=yes", url.Values{})); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("confirmed by the address: status %d", answer.StatusCode)
	}
	answer, _ := ask(t, h, post("/address/new", url.Values{"confirm": {"yes"}}))
	if at := answer.Header.Get("Location"); answer.StatusCode != http.StatusSeeOther || at != "/calendar?done=replaced" {
		t.Fatalf("status %d, to %s", answer.StatusCode, at)
	}
	_, body := ask(t, h, get("/calendar?done=replaced"))
	holds(t, body, "/calendar/"+secret+"-new/limekeep.ics", "The calendar has a new address")
	if answer, _ := ask(t, h, get(feed)); answer.StatusCode != http.StatusNotFound {
		t.Errorf("the old address: status %d", answer.StatusCode)
	}
	if answer, _ := ask(t, h, get("/calendar/"+secret+"-new/limekeep.ics")); answer.StatusCode != http.StatusOK {
		t.Errorf("the new address: status %d", answer.StatusCode)
	}
	if answer, _ := ask(t, open(desk), post("/address/new", url.Values{"confirm": {"yes"}})); answer.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("where it cannot be replaced: status %d", answer.StatusCode)
	}
}

// A server in front lets all below /calendar/ through without a password: no
// page and no form may lie there.
func TestCalendarPageIsNotBelowTheCalendar(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk, withApps(twoApps()))
	_, body := ask(t, h, get("/calendar"))
	if strings.Contains(body, `action="/calendar`) {
		t.Error("a form is sent to below /calendar")
	}
	for _, path := range []string{"/calendar/", "/calendar/" + secret, "/calendar/" + secret + "/"} {
		if answer, body := ask(t, h, get(path)); answer.StatusCode != http.StatusNotFound || strings.Contains(body, "limekeep.ics") {
			t.Errorf("%s: status %d", path, answer.StatusCode)
		}
	}
}
