package dav

import (
	"fmt"
	"maps"
	"net/http"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

func syncXML(token string, limit int) string {
	inside := "<D:sync-token>" + text(token) + "</D:sync-token><D:sync-level>1</D:sync-level>"
	if limit > 0 {
		inside += "<D:limit><D:nresults>" + strconv.Itoa(limit) + "</D:nresults></D:limit>"
	}
	return davXML("D:sync-collection", inside+"<D:prop><D:getetag/></D:prop>")
}

// follower is an app that knows the collection by sync-collection alone.
type follower struct {
	token string
	tags  map[string]string // by href
}

// follow asks once and takes over what it is told. It gives whether the answer
// was cut short, and how many members it told of.
func (f *follower) follow(k *kit, limit int) (cut bool, members int) {
	m := k.read(k.ask("REPORT", atCollection, syncXML(f.token, limit), "Depth", "0"))
	for _, r := range m.Responses {
		switch {
		case r.Href == atCollection && r.Status == "HTTP/1.1 507 Insufficient Storage":
			cut = true
			continue
		case r.Status == "HTTP/1.1 404 Not Found":
			delete(f.tags, r.Href)
		default:
			e, _ := r.prop("getetag")
			f.tags[r.Href] = e.Text
		}
		members++
	}
	f.token = m.SyncToken
	return cut, members
}

// held is what the server has, by href.
func (k *kit) held() map[string]string {
	tags := map[string]string{}
	for _, o := range k.memory.snapshot.Objects {
		tags[atCollection+o.Name] = `"` + o.ETag + `"`
	}
	return tags
}

// RFC 6578, 3.8 and 3.9: the first synchronisation, then what changed, then what
// is gone.
func TestSync(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a.ics", vtodo("1"))
	k.memory.keep(t, "b.ics", vtodo("2"))
	k.expect(http.StatusNoContent, "DELETE", atCollection+"b.ics", "")
	f := &follower{tags: map[string]string{}}
	if cut, n := f.follow(k, 0); cut || n != 1 || !maps.Equal(f.tags, k.held()) {
		t.Errorf("at first: %d members, %v", n, f.tags)
	}
	if _, n := f.follow(k, 0); n != 0 {
		t.Errorf("nothing has changed, but %d members are told of", n)
	}
	k.expect(http.StatusCreated, "PUT", atCollection+"c.ics", vtodo("3"))
	k.expect(http.StatusNoContent, "PUT", atCollection+"a.ics", vtodo("1", "SUMMARY:a"))
	k.expect(http.StatusNoContent, "DELETE", atCollection+"a.ics", "")
	if _, n := f.follow(k, 0); n != 2 || !maps.Equal(f.tags, k.held()) {
		t.Errorf("then: %d members, %v", n, f.tags)
	}
	if token, _ := k.read(k.ask("PROPFIND", atCollection, davXML("D:propfind", "<D:prop><D:sync-token/></D:prop>"), "Depth", "0")).Responses[0].prop("sync-token"); token.Text != f.token {
		t.Errorf("the collection's token is %s, the report's %s", token.Text, f.token)
	}
}

// RFC 6578, 3.2: what is no token of this collection, or of no use any more, is
// refused, and the app begins anew.
func TestSyncTokens(t *testing.T) {
	k := newKit(t)
	for i := range 5 {
		k.memory.keep(t, fmt.Sprintf("%d.ics", i), vtodo(strconv.Itoa(i)))
	}
	k.memory.snapshot.Oldest = 3 // of numbers up to 6
	own := "urn:limekeep:sync:e%3A1+%C3%A4:"
	for token, want := range map[string]int{
		"": 207, own + "6": 207, own + "3": 207, " " + own + "4\n": 207, own + "5:4:a.ics": 207, own + "5:-1:a%3Ab": 207,
		own + "7": 403, own + "2": 403, own + "x": 403, own: 403, own + "5:2:a": 403, own + "5:6:a": 403, own + "5:x:a": 403, own + "5:4:%zz": 403, own + "5:4": 403,
		"urn:limekeep:sync:other:5": 403, "http://example.com/5": 403, "5": 403,
	} {
		w := k.expect(want, "REPORT", atCollection, syncXML(token, 0), "Depth", "0")
		if want == 403 {
			if got := k.condition(w); got != "DAV: valid-sync-token" {
				t.Errorf("%q: %s", token, got)
			}
		}
	}
}

// Requests that are not what RFC 6578 has them be.
func TestSyncRequests(t *testing.T) {
	k := newKit(t)
	prop := "<D:prop><D:getetag/></D:prop>"
	tests := []struct {
		inside, depth string
		want          int
	}{
		{"<D:sync-token/><D:sync-level>1</D:sync-level>" + prop, "0", 207},
		{"<D:sync-token/><D:sync-level>infinite</D:sync-level>" + prop, "0", 207},
		{"<D:sync-token/>" + prop, "1", 207}, // as the drafts had it
		{"<D:sync-token/><D:sync-level>2</D:sync-level>" + prop, "0", 400},
		{"<D:sync-token/><D:sync-level>1</D:sync-level>" + prop, "infinity", 400},
		{"<D:sync-level>1</D:sync-level>" + prop, "0", 400},
		{"<D:sync-token/><D:limit/>" + prop, "0", 400},
		{"<D:sync-token/><D:limit><D:nresults>0</D:nresults></D:limit>" + prop, "0", 400},
		{"<D:sync-token/><D:limit><D:nresults>many</D:nresults></D:limit>" + prop, "0", 400},
	}
	for _, test := range tests {
		if w := k.ask("REPORT", atCollection, davXML("D:sync-collection", test.inside), "Depth", test.depth); w.Code != test.want {
			t.Errorf("%s with depth %s: %d, want %d", test.inside, test.depth, w.Code, test.want)
		}
	}
}

// Whatever happens to the collection, an app that follows it from any token it
// ever got ends with what the server has, also in answers of few members each.
func TestSyncWalk(t *testing.T) {
	names := []string{"a.ics", "b:b.ics", "c.ics", "d.ics", "e.ics"}
	rapid.Check(t, func(t *rapid.T) {
		k := newKit(t)
		followers := []*follower{{tags: map[string]string{}}}
		steps := rapid.IntRange(1, 25).Draw(t, "steps")
		for i := range steps {
			name := rapid.SampledFrom(names).Draw(t, "name")
			switch rapid.IntRange(0, 3).Draw(t, "what") {
			case 0, 1:
				w := k.ask("PUT", atCollection+name, vtodo(name, fmt.Sprintf("SUMMARY:%d", i)))
				if w.Code >= 300 {
					t.Fatalf("PUT: %d", w.Code)
				}
			case 2:
				k.ask("DELETE", atCollection+name, "")
			case 3:
				old := rapid.SampledFrom(followers).Draw(t, "follower")
				limit := rapid.IntRange(0, 3).Draw(t, "limit")
				// The app as it was stays, to follow again from its older token.
				next := &follower{token: old.token, tags: maps.Clone(old.tags)}
				if cut, n := next.follow(k, limit); limit > 0 && n > limit {
					t.Fatalf("%d members with a limit of %d", n, limit)
				} else if cut && n != limit {
					t.Fatalf("cut after %d members with a limit of %d", n, limit)
				}
				followers = append(followers, next)
			}
		}
		limit := rapid.IntRange(0, 3).Draw(t, "last limit")
		for _, f := range followers {
			for asked := 0; ; asked++ {
				cut, _ := f.follow(k, limit)
				if !cut {
					break
				}
				if asked > 20 {
					t.Fatalf("the app never gets to the end")
				}
			}
			// What was cut once can lag behind by what changed meanwhile.
			f.follow(k, 0)
			if !maps.Equal(f.tags, k.held()) {
				t.Fatalf("the app has %v, the server %v", f.tags, k.held())
			}
			if f.token != syncToken(k.memory.snapshot) {
				t.Fatalf("the app has come to %s", f.token)
			}
		}
	})
}
