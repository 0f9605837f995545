package dav

import (
	"fmt"
	"net/http"
	"runtime"
	"strings"
	"testing"
)

// XML that grows when it is read, or lies deep, is refused for little: entities of entities,
// entities from elsewhere, elements in elements, very many elements or attributes.
func TestXMLBombsAreRefused(t *testing.T) {
	laughs := `<?xml version="1.0"?><!DOCTYPE lolz [<!ENTITY l0 "lol">`
	for i := 1; i < 10; i++ {
		laughs += fmt.Sprintf(`<!ENTITY l%d "%s">`, i, strings.Repeat(fmt.Sprintf("&l%d;", i-1), 10))
	}
	propfind := func(inside string) string { return davXML("D:propfind", inside) }
	k := newKit(t)
	rfcTodos(t, k)
	for name, c := range map[string]struct {
		body   string
		status int
	}{
		"entities of entities":     {laughs + `]><D:propfind xmlns:D="DAV:"><D:prop>&l9;</D:prop></D:propfind>`, http.StatusForbidden},
		"one long entity":          {`<!DOCTYPE a [<!ENTITY x "` + strings.Repeat("x", 500_000) + `">]><a>` + strings.Repeat("&x;", 100_000) + `</a>`, http.StatusForbidden},
		"a file of the system":     {`<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><D:propfind xmlns:D="DAV:"><D:prop>&x;</D:prop></D:propfind>`, http.StatusForbidden},
		"an address elsewhere":     {`<!DOCTYPE a SYSTEM "http://127.0.0.1:1/x.dtd"><D:propfind xmlns:D="DAV:"><D:allprop/></D:propfind>`, http.StatusForbidden},
		"entities without a type":  {`<D:propfind xmlns:D="DAV:"><D:prop>&l9;</D:prop></D:propfind>`, http.StatusBadRequest},
		"elements in elements":     {propfind(strings.Repeat("<D:prop>", 100_000)), http.StatusBadRequest},
		"very many elements":       {propfind("<D:prop>" + strings.Repeat("<D:x/>", 100_000) + "</D:prop>"), http.StatusBadRequest},
		"more than a body may be":  {propfind("<D:prop>" + strings.Repeat(" ", 2<<20) + "</D:prop>"), http.StatusRequestEntityTooLarge},
		"very many namespaces":     {`<D:propfind xmlns:D="DAV:"` + manyAttributes(50_000) + `><D:allprop/></D:propfind>`, http.StatusMultiStatus},
		"an encoding that is none": {`<?xml version="1.0" encoding="utf-7"?><D:propfind xmlns:D="DAV:"><D:allprop/></D:propfind>`, http.StatusBadRequest},
	} {
		for _, method := range []string{"PROPFIND", "REPORT"} {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			w := k.ask(method, atCollection, c.body, "Depth", "0", "Content-Type", "application/xml")
			runtime.ReadMemStats(&after)
			want := c.status
			if method == "REPORT" && want == http.StatusMultiStatus {
				want = http.StatusForbidden // it is no report
			}
			if w.Code != want {
				t.Errorf("%s, %s: status %d, want %d", method, name, w.Code, want)
			}
			if grown := after.TotalAlloc - before.TotalAlloc; grown > 64<<20 {
				t.Errorf("%s, %s: %d MB were taken for %d kB", method, name, grown>>20, len(c.body)>>10)
			}
			if strings.Contains(w.Body.String(), "root:") {
				t.Errorf("%s, %s: the answer holds a file of the system", method, name)
			}
		}
	}
}

func manyAttributes(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, ` xmlns:n%d="u"`, i)
	}
	return b.String()
}
