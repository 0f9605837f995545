package dav

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// RFC 6764, 5: a redirect for every method, before anyone is asked who they are.
func TestWellKnown(t *testing.T) {
	k := newKit(t)
	for _, method := range []string{"GET", "PROPFIND", "OPTIONS", "HEAD"} {
		r := httptest.NewRequest(method, "/.well-known/caldav", nil)
		w := httptest.NewRecorder()
		k.handler.ServeHTTP(w, r)
		if w.Code != http.StatusTemporaryRedirect || w.Header().Get("Location") != atRoot {
			t.Errorf("%s: %d to %q", method, w.Code, w.Header().Get("Location"))
		}
	}
}

// RFC 7617: what stands between an app and the collection.
func TestAuthentication(t *testing.T) {
	tests := []struct {
		name, user, password string
		want                 int
	}{
		{"right, with characters beyond ASCII and a colon", "kätchen", "geheim: ☕", http.StatusMultiStatus},
		{"wrong password", "kätchen", "geheim", http.StatusUnauthorized},
		{"wrong name", "katchen", "geheim: ☕", http.StatusUnauthorized},
		{"nobody", "", "", http.StatusUnauthorized},
		{"the look-up fails", "kätchen", "broken", http.StatusInternalServerError},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKit(t)
			r := httptest.NewRequest("PROPFIND", atCollection, nil)
			r.Header.Set("Depth", "0")
			if test.user != "" {
				r.SetBasicAuth(test.user, test.password)
			}
			w := httptest.NewRecorder()
			k.handler.ServeHTTP(w, r)
			if w.Code != test.want {
				t.Errorf("status %d, want %d", w.Code, test.want)
			}
			challenged := w.Header().Get("WWW-Authenticate")
			if (w.Code == http.StatusUnauthorized) != strings.HasPrefix(challenged, `Basic realm="`) {
				t.Errorf("status %d with the challenge %q", w.Code, challenged)
			}
			if w.Code == http.StatusUnauthorized && !strings.Contains(challenged, `charset="UTF-8"`) {
				t.Errorf("the challenge %q does not say which characters", challenged)
			}
			if got := strings.Contains(k.log.String(), errBroken.Error()); got != (w.Code == http.StatusInternalServerError) {
				t.Errorf("status %d with the log %q", w.Code, k.log.String())
			}
			if strings.Contains(w.Body.String(), errBroken.Error()) || strings.Contains(k.log.String(), "geheim") {
				t.Error("an inner fault or a password got out")
			}
		})
	}
}

// OPTIONS needs no password, and tells the same whether or not an object exists.
func TestOptions(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "there.ics", vtodo("1"))
	for path, want := range map[string]string{
		"/":                        "OPTIONS, PROPFIND, PROPPATCH",
		atRoot:                     "OPTIONS, PROPFIND, PROPPATCH",
		atPrincipal:                "OPTIONS, PROPFIND, PROPPATCH",
		atHome:                     "OPTIONS, PROPFIND, PROPPATCH",
		atCollection:               "OPTIONS, PROPFIND, PROPPATCH, REPORT",
		atCollection + "there.ics": "OPTIONS, GET, HEAD, PUT, DELETE, PROPFIND, PROPPATCH, REPORT",
		atCollection + "not.ics":   "OPTIONS, GET, HEAD, PUT, DELETE, PROPFIND, PROPPATCH, REPORT",
		"/dav/pantry/":             "OPTIONS",
	} {
		w := httptest.NewRecorder()
		k.handler.ServeHTTP(w, httptest.NewRequest(http.MethodOptions, path, nil))
		if w.Code != http.StatusNoContent || w.Header().Get("Allow") != want || w.Header().Get("DAV") != "1, 3, calendar-access" {
			t.Errorf("%s: %d, Allow %q, DAV %q", path, w.Code, w.Header().Get("Allow"), w.Header().Get("DAV"))
		}
	}
}

// What cannot be done is refused with the status that the standards give it.
func TestRefusedMethods(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "there.ics", vtodo("1"))
	before := k.memory.snapshot
	tests := []struct {
		method, path string
		want         int
		condition    string
	}{
		{"GET", atCollection, http.StatusMethodNotAllowed, ""},
		{"HEAD", atRoot, http.StatusMethodNotAllowed, ""},
		{"GET", "/dav/nowhere", http.StatusNotFound, ""},
		{"POST", atCollection, http.StatusMethodNotAllowed, ""},
		{"LOCK", atCollection + "there.ics", http.StatusMethodNotAllowed, ""},
		{"MKCOL", atHome + "second/", http.StatusForbidden, nsCalDAV + " calendar-collection-location-ok"},
		{"MKCALENDAR", atHome + "second/", http.StatusForbidden, nsCalDAV + " calendar-collection-location-ok"},
		{"MKCALENDAR", atCollection + "inside/", http.StatusForbidden, nsCalDAV + " calendar-collection-location-ok"},
		{"MKCOL", atCollection, http.StatusMethodNotAllowed, ""}, // RFC 4918, 9.3.1
		{"COPY", atCollection + "there.ics", http.StatusForbidden, ""},
		{"MOVE", atCollection + "there.ics", http.StatusForbidden, ""},
		{"MOVE", "/dav/nowhere", http.StatusNotFound, ""},
		{"DELETE", atCollection, http.StatusForbidden, "DAV: need-privileges"},
		{"DELETE", atPrincipal, http.StatusForbidden, "DAV: need-privileges"},
		{"DELETE", "/dav/nowhere", http.StatusNotFound, ""},
		{"PUT", atCollection, http.StatusMethodNotAllowed, ""},             // RFC 4918, 9.7.2
		{"PUT", atCollection + "a/b.ics", http.StatusConflict, ""},         // RFC 4918, 9.7.1
		{"PUT", "/dav/pantry/todos/pantry/a.ics", http.StatusConflict, ""}, // RFC 4918, 9.7.1
		{"PUT", atHome + "a.ics", http.StatusForbidden, ""},
		{"PUT", atCollection + "a%0Ab.ics", http.StatusForbidden, ""},
		{"PUT", atCollection + strings.Repeat("x", 201), http.StatusForbidden, ""},
	}
	for _, test := range tests {
		w := k.ask(test.method, test.path, vtodo("2"), "Destination", atCollection+"other.ics", "Content-Type", "text/calendar")
		if w.Code != test.want {
			t.Errorf("%s %s: %d, want %d", test.method, test.path, w.Code, test.want)
		}
		if test.condition != "" {
			if got := k.condition(w); got != test.condition {
				t.Errorf("%s %s: condition %q, want %q", test.method, test.path, got, test.condition)
			}
		}
		if w.Code == http.StatusMethodNotAllowed && w.Header().Get("Allow") == "" {
			t.Errorf("%s %s: 405 without Allow", test.method, test.path)
		}
	}
	if k.memory.snapshot != before {
		t.Error("something was changed")
	}
}

// A collection that cannot be read is a fault here, which the log explains and
// the answer does not.
func TestBrokenCollection(t *testing.T) {
	for _, method := range []string{"GET", "PUT", "DELETE", "PROPFIND", "REPORT"} {
		k := newKit(t)
		k.memory.keep(t, "a.ics", vtodo("1"))
		k.memory.broken = errBroken
		body := map[string]string{"PUT": vtodo("1"), "REPORT": davXML("D:sync-collection", "<D:sync-token/>")}[method]
		w := k.ask(method, atCollection+"a.ics", body, "Depth", "0")
		if w.Code != http.StatusInternalServerError || strings.Contains(w.Body.String(), "disk") || !strings.Contains(k.log.String(), "disk") {
			t.Errorf("%s: %d %q, log %q", method, w.Code, w.Body, k.log.String())
		}
	}
}

// Names that apps choose are found again under the addresses they are given.
func TestPaths(t *testing.T) {
	p := newPaths("/dav", "kitchen")
	for _, name := range []string{"a.ics", "A0F1-22.ics", "no ending", "käse & ☕.ics", "50%.ics", "a?b#c.ics", "a;b,c=d+e@f:g.ics", "%2F.ics", ".hidden", "...", strings.Repeat("x", 200)} {
		path := p.object(name)
		if got := p.find(path); got.kind != object || got.name != name {
			t.Errorf("%q lies at %s, where %+v is found", name, path, got)
		}
	}
	for _, path := range []string{
		"", "/da", "/davx/", "/dav//", "/dav/kitchen/todo/", "/dav/kitchen/todos/pantry/", "/dav/kitchen/todos/pantry/a.ics",
		"/dav/kitchen/todos/kitchen/a/b", "/dav/kitchen/todos/kitchen/a/", "/dav/kitchen/todos/kitchen//", "/dav/kitchen/todos/kitchen/..",
		"/dav/kitchen/todos/kitchen/.", "/dav/kitchen/todos/kitchen/a%2Fb", "/dav/kitchen/todos/kitchen/%FF", "/dav/kitchen/todos/kitchen/%00",
		"/dav/kitchen/todos/kitchen/%zz", "/dav/kitchen/../kitchen/todos/kitchen/a.ics",
	} {
		if got := p.find(path); got.kind != nothing {
			t.Errorf("at %q is %+v", path, got)
		}
	}
	for path, want := range map[string]kind{"/": root, "/dav": root, "/dav/": root, "/dav/kitchen": principal, "/dav/%6Bitchen/": principal, "/dav/kitchen/todos": home, "/dav/kitchen/todos/kitchen": collection} {
		if got := p.find(path); got.kind != want {
			t.Errorf("at %q is %+v, want %d", path, got, want)
		}
	}
}
