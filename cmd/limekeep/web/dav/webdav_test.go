package dav

import (
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// site is a server asked over the wire, as any program that speaks WebDAV does.
type site struct {
	*kit
	address string
}

func newSite(t *testing.T) *site {
	k := newKit(t)
	server := httptest.NewServer(k.handler)
	t.Cleanup(server.Close)
	k.memory.keep(t, "here.ics", vtodo("here", "SUMMARY:Here"))
	return &site{k, server.URL}
}

// do sends a request and returns what came; headers are names and values in turn.
func (s *site) do(method, path, body string, headers ...string) (*http.Response, string) {
	s.Helper()
	r, err := http.NewRequest(method, s.address+path, strings.NewReader(body))
	if err != nil {
		s.Fatal(err)
	}
	r.SetBasicAuth("kätchen", "geheim: ☕")
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Add(headers[i], headers[i+1])
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		s.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		s.Fatal(err)
	}
	return answer, string(text)
}

// The basics of WebDAV, method by method, with the section of RFC 4918 (or of the
// standard named) that says what has to come out. What is refused changes nothing.
func TestWebDAV(t *testing.T) {
	const xmlType = "application/xml; charset=utf-8"
	todo := vtodo("new", "SUMMARY:New")
	hundredProps := davXML("D:propfind", "<D:prop>"+strings.Repeat(`<x:a xmlns:x="urn:x"/>`, 300)+"</D:prop>") // one name, many times
	here, none := atCollection+"here.ics", atCollection+"none.ics"
	for _, c := range []struct {
		section, method, path, body string
		headers                     []string
		status                      int
		changes                     bool
	}{
		{"9.1", "PROPFIND", here, "", []string{"Depth", "0"}, 207, false},
		{"9.1, an empty body means all", "PROPFIND", atCollection, "", []string{"Depth", "1"}, 207, false},
		{"9.1, infinity may be refused", "PROPFIND", atCollection, "", []string{"Depth", "infinity"}, 403, false},
		{"8.2, not well-formed", "PROPFIND", here, "<foo>", []string{"Depth", "0", "Content-Type", xmlType}, 400, false},
		{"8.2, a prefix without a namespace", "PROPFIND", here, `<D:propfind xmlns:D="DAV:"><D:prop><bar:foo xmlns:bar=""/></D:prop></D:propfind>`, []string{"Depth", "0", "Content-Type", xmlType}, 400, false},
		{"17, what is not known is passed over", "PROPFIND", here, `<D:propfind xmlns:D="DAV:" xmlns:x="urn:x"><x:other/><D:propname/></D:propfind>`, []string{"Depth", "0", "Content-Type", xmlType}, 207, false},
		{"9.1, many names", "PROPFIND", here, hundredProps, []string{"Depth", "0", "Content-Type", xmlType}, 207, false},
		{"9.1, nothing there", "PROPFIND", none, "", []string{"Depth", "0"}, 404, false},
		{"9.2", "PROPPATCH", here, davXML("D:propertyupdate", `<D:set><D:prop><x:a xmlns:x="urn:x">v</x:a></D:prop></D:set>`), []string{"Content-Type", xmlType}, 207, false},
		{"9.2, nothing there", "PROPPATCH", none, davXML("D:propertyupdate", `<D:set><D:prop><x:a xmlns:x="urn:x">v</x:a></D:prop></D:set>`), []string{"Content-Type", xmlType}, 404, false},
		{"9.3.1, on what is there", "MKCOL", atCollection, "", nil, 405, false},
		{"9.3.1, on an object that is there", "MKCOL", here, "", nil, 405, false},
		{"9.3.1, nothing above it", "MKCOL", atCollection + "no/such/", "", nil, 409, false},
		{"9.3.1, a body of another type", "MKCOL", atHome + "second/", "afafafaf", []string{"Content-Type", "xzy-foo/bar-512"}, 415, false},
		{"9.3.1, not allowed", "MKCOL", atHome + "second/", "", nil, 403, false},
		{"9.4", "GET", here, "", nil, 200, false},
		{"9.4, of a collection", "GET", atCollection, "", nil, 405, false},
		{"9.4, nothing there", "GET", none, "", nil, 404, false},
		{"9.6, nothing there", "DELETE", none, "", nil, 404, false},
		{"9.6, of a collection", "DELETE", atCollection, "", nil, 403, false},
		{"9.7.1, nothing above it", "PUT", atCollection + "no/such.ics", todo, nil, 409, false},
		{"9.7.2, on a collection", "PUT", atCollection, todo, nil, 405, false},
		{"9.7.1", "PUT", atCollection + "new.ics", todo, nil, 201, true},
		{"9.7.1, onto what is there", "PUT", here, vtodo("here", "SUMMARY:Other"), nil, 204, true},
		{"9.6", "DELETE", here, "", nil, 204, true},
		{"9.8, not allowed", "COPY", here, "", []string{"Destination", none, "Overwrite", "F"}, 403, false},
		{"9.8, nothing there", "COPY", none, "", []string{"Destination", atCollection + "b.ics"}, 404, false},
		{"9.9, not allowed", "MOVE", here, "", []string{"Destination", none}, 403, false},
		{"9.10, no locks: class 2 is not claimed", "LOCK", here, davXML("D:lockinfo", `<D:lockscope><D:exclusive/></D:lockscope><D:locktype><D:write/></D:locktype>`), []string{"Content-Type", xmlType}, 405, false},
		{"9.11, no locks", "UNLOCK", here, "", []string{"Lock-Token", "<urn:uuid:a>"}, 405, false},
		{"RFC 9110, 15.5.6, a method of no kind", "POST", here, "", nil, 405, false},
		{"RFC 9110, 10.1.1", "PUT", atCollection + "new.ics", todo, []string{"Expect", "100-continue"}, 201, true},
		{"10.4, a tag that is not", "PUT", here, vtodo("here"), []string{"If", `(["other"])`}, 412, false},
		{"10.4, not a tag that is not", "PUT", here, vtodo("here"), []string{"If", `(Not ["other"])`}, 204, true},
		{"10.4, the tag", "DELETE", here, "", []string{"If", `(["TAG"])`}, 204, true},
		{"10.4, one of two lists", "DELETE", here, "", []string{"If", `(["other"]) (["TAG"])`}, 204, true},
		{"10.4, a list of which one is false", "DELETE", here, "", []string{"If", `(["TAG"] <urn:uuid:a>)`}, 412, false},
		{"10.4, a lock that nobody holds", "PUT", here, vtodo("here"), []string{"If", `(<urn:uuid:a>)`}, 412, false},
		{"10.4.8, the tag of another resource", "PUT", atCollection + "new.ics", todo, []string{"If", "<" + here + `> (["TAG"])`}, 201, true},
		{"10.4.8, not the tag of another resource", "PUT", atCollection + "new.ics", todo, []string{"If", "<" + here + `> (["other"])`}, 412, false},
		{"RFC 6578, 5, the sync token", "PUT", here, vtodo("here"), []string{"If", "<" + atCollection + "> (<TOKEN>)"}, 204, true},
		{"RFC 6578, 5, an older sync token", "PUT", here, vtodo("here"), []string{"If", "<" + atCollection + "> (<TOKEN0>)"}, 412, false},
		{"10.4.2, no list", "PUT", here, vtodo("here"), []string{"If", "(["}, 400, false},
		{"10.4.2, an empty list", "DELETE", here, "", []string{"If", "()"}, 400, false},
		{"10.4, and If-Match", "DELETE", here, "", []string{"If", `(["TAG"])`, "If-Match", `"other"`}, 412, false},
	} {
		t.Run(c.section+" "+c.method, func(t *testing.T) {
			s := newSite(t)
			before := s.held()
			fill := strings.NewReplacer("TAG", s.memory.find("here.ics").ETag, "TOKEN", syncToken(s.memory.snapshot))
			headers := make([]string, len(c.headers))
			for i, text := range c.headers {
				headers[i] = fill.Replace(text)
			}
			answer, body := s.do(c.method, c.path, c.body, headers...)
			if answer.StatusCode != c.status {
				t.Errorf("status %d, want %d:\n%s", answer.StatusCode, c.status, body)
			}
			if changed := !maps.Equal(before, s.held()); changed != c.changes {
				t.Errorf("the collection changed: %t", changed)
			}
			if answer.StatusCode == http.StatusMethodNotAllowed && answer.Header.Get("Allow") == "" {
				t.Error("it is not said which methods are allowed (RFC 9110, 15.5.6)")
			}
		})
	}
}

// RFC 4918, 10.1 and 18: what is claimed is kept. Class 2 would be locks.
func TestWebDAVClasses(t *testing.T) {
	s := newSite(t)
	answer, _ := s.do(http.MethodOptions, atCollection, "")
	if got := answer.Header.Get("DAV"); answer.StatusCode >= 300 || got != "1, 3, calendar-access" || strings.Contains(answer.Header.Get("Allow"), "LOCK") {
		t.Errorf("status %d, DAV: %s, Allow: %s", answer.StatusCode, got, answer.Header.Get("Allow"))
	}
}

// What is stored comes back as it was given out, the same each time, with what HEAD
// says of it (RFC 9110, 9.3.2), and is gone once it was deleted.
func TestWebDAVRoundTrip(t *testing.T) {
	s := newSite(t)
	for _, name := range []string{"plain.ics", "with%20space", "%E2%82%AC.ics", "semi;colon,comma.ics", "100%25.ics"} {
		path := atCollection + name
		if answer, body := s.do("PUT", path, vtodo(name, "SUMMARY:€ "+strings.Repeat("long ", 40))); answer.StatusCode != http.StatusCreated {
			t.Fatalf("%s: status %d: %s", name, answer.StatusCode, body)
		}
		first, text := s.do("GET", path, "")
		again, same := s.do("GET", path, "")
		head, none := s.do("HEAD", path, "")
		if text != same || none != "" || !strings.Contains(text, "SUMMARY:€") {
			t.Errorf("%s: fetched\n%s\nand then\n%s", name, text, same)
		}
		for _, header := range []string{"ETag", "Last-Modified", "Content-Type", "Content-Length"} {
			if got := first.Header.Get(header); got == "" || got != again.Header.Get(header) || got != head.Header.Get(header) {
				t.Errorf("%s: %s is %q, then %q, by HEAD %q", name, header, got, again.Header.Get(header), head.Header.Get(header))
			}
		}
		_, list := s.do("PROPFIND", atCollection, "", "Depth", "1")
		if !strings.Contains(list, "<D:href>"+path+"</D:href>") && !strings.Contains(list, "<D:href>"+strings.NewReplacer(";", "%3B", ",", "%2C").Replace(path)+"</D:href>") {
			t.Errorf("%s is not in the list:\n%s", path, list)
		}
		if answer, _ := s.do("DELETE", path, ""); answer.StatusCode != http.StatusNoContent {
			t.Errorf("%s: deleting: %d", name, answer.StatusCode)
		}
		if answer, _ := s.do("GET", path, ""); answer.StatusCode != http.StatusNotFound {
			t.Errorf("%s: still there: %d", name, answer.StatusCode)
		}
	}
}

func FuzzIfHeader(f *testing.F) {
	for _, text := range []string{`(["a"])`, `<http://a/b> (Not <urn:x> [W/"b"]) (["c"])`, "(", "<", `(Not`, `()`, `<%zz> (["a"])`} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		header, err := ifHeaderOf(http.Header{"If": {text}})
		if err == nil && strings.TrimSpace(text) != "" && len(header) == 0 {
			t.Errorf("%q is read as nothing", text)
		}
		for _, list := range header {
			if len(list.conditions) == 0 {
				t.Errorf("%q is read with an empty list", text)
			}
		}
	})
}
