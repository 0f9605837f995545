package dav

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

// tokenStart begins every sync token. A token is a URI (RFC 6578, 6.2): a name
// in an informal namespace of our own, which means nothing to anyone else.
const tokenStart = "urn:limekeep:sync:"

// syncPoint is how far an app has come, as its token says: at least to change
// number of the collection. Where an answer was cut short it has come that far
// up to an object, and only as far as since beyond it.
type syncPoint struct {
	number int64
	cut    bool
	since  int64  // -1: nothing at all yet
	upTo   string // name of an object
}

// syncToken returns the token of a snapshot.
func syncToken(s *Snapshot) string { return syncPoint{number: s.Number}.token(s.Epoch) }

func (p syncPoint) token(epoch string) string {
	token := tokenStart + url.QueryEscape(epoch) + ":" + strconv.FormatInt(p.number, 10)
	if p.cut {
		token += ":" + strconv.FormatInt(p.since, 10) + ":" + url.QueryEscape(p.upTo)
	}
	return token
}

// pointOf reads a token. One of another epoch, of a change that has not come, or
// of one whose traces are gone is refused, and the app begins anew (RFC 6578,
// 3.2).
func pointOf(token string, s *Snapshot) (syncPoint, error) {
	refused := &Refusal{validSyncToken, "This sync token is of no use any more; begin with an empty one."}
	if token == "" {
		return syncPoint{number: -1, since: -1}, nil
	}
	rest, ok := strings.CutPrefix(token, tokenStart+url.QueryEscape(s.Epoch)+":")
	if !ok {
		return syncPoint{}, refused
	}
	fields := strings.Split(rest, ":")
	if len(fields) != 1 && len(fields) != 3 {
		return syncPoint{}, refused
	}
	var p syncPoint
	var err error
	if p.number, err = strconv.ParseInt(fields[0], 10, 64); err != nil || p.number < s.Oldest || p.number > s.Number {
		return syncPoint{}, refused
	}
	if len(fields) == 3 {
		p.cut = true
		if p.since, err = strconv.ParseInt(fields[1], 10, 64); err != nil || p.since > p.number || p.since < s.Oldest && p.since != -1 {
			return syncPoint{}, refused
		}
		if p.upTo, err = url.QueryUnescape(fields[2]); err != nil {
			return syncPoint{}, refused
		}
	}
	return p, nil
}

// change is one thing an app has to learn: an object, or that it is gone.
type change struct {
	name  string
	now   *renderedObject // nil where it is gone
	later bool            // reached by the app's first pass already
}

// changesSince lists what an app at a point has not seen, in the order in which
// answers are cut: first beyond where the last one was cut, by name, then what
// changed meanwhile up to there, by name.
func (s *rendered) changesSince(p syncPoint) []change {
	var all []change
	since := func(name string) (int64, bool) {
		if p.cut && name > p.upTo {
			return p.since, false
		}
		return p.number, p.cut
	}
	for i := range s.objects {
		o := &s.objects[i]
		if from, later := since(o.Name); o.Number > from {
			all = append(all, change{o.Name, o, later})
		}
	}
	for _, g := range s.Gone {
		// An app that has nothing yet need not learn what is gone.
		if from, later := since(g.Name); g.Number > from && from >= 0 && s.find(g.Name) == nil {
			all = append(all, change{g.Name, nil, later})
		}
	}
	slices.SortFunc(all, func(a, b change) int {
		if a.later != b.later {
			if a.later {
				return 1
			}
			return -1
		}
		return cmp.Compare(a.name, b.name)
	})
	return all
}

// after returns the point that an app has come to when an answer to one at p was
// cut after a change.
func (p syncPoint) after(c change, now int64) syncPoint {
	switch {
	case c.later:
		// The first pass is done; what of the second was sent is sent again.
		return syncPoint{number: p.number}
	case p.cut:
		return syncPoint{number: p.number, cut: true, since: p.since, upTo: c.name}
	}
	return syncPoint{number: now, cut: true, since: p.number, upTo: c.name}
}

// sync answers sync-collection (RFC 6578, 3).
func (h *handler) sync(m *multistatus, s *rendered, r *request, body *node) error {
	// RFC 6578, 3.2 knows Depth 0 only, but apps that followed its drafts send 1
	// and mean the same: the level is in the body.
	if depth, err := depthOf(r.Header, "0"); err != nil {
		return err
	} else if depth == "infinity" {
		return &failure{http.StatusBadRequest, "A sync-collection is asked for with Depth 0 (RFC 6578, 3.2)."}
	}
	level := body.child(nsDAV, "sync-level")
	if level != nil {
		// The collection holds no other, so all levels are level 1.
		if l := trimSpace(string(level.text)); l != "1" && l != "infinite" {
			return &failure{http.StatusBadRequest, "The sync-level is 1 or infinite (RFC 6578, 6.3)."}
		}
	}
	token := body.child(nsDAV, "sync-token")
	if token == nil {
		return &failure{http.StatusBadRequest, "A sync-collection has a sync-token, empty at the beginning (RFC 6578, 6.1)."}
	}
	a, err := propRequestOf(body)
	if err != nil {
		return err
	}
	point, err := pointOf(trimSpace(string(token.text)), s.Snapshot)
	if err != nil {
		return err
	}
	limit, err := limitOf(body)
	if err != nil {
		return err
	}
	all := s.changesSince(point)
	reached := syncPoint{number: s.Number}
	cut := limit > 0 && len(all) > limit
	if cut {
		all = all[:limit]
		reached = point.after(all[limit-1], s.Number)
	}
	rep := h.reporter(r.Context(), m, s, a, nil)
	for _, c := range all {
		if c.now == nil {
			m.status(h.paths.object(c.name), http.StatusNotFound, "") // RFC 6578, 3.5.2
			continue
		}
		rep.object(c.now)
	}
	if cut { // RFC 6578, 3.6
		m.status(h.paths.collection, http.StatusInsufficientStorage, withinLimits)
	}
	m.WriteString("<D:sync-token>")
	escape(&m.Buffer, reached.token(s.Epoch))
	m.WriteString("</D:sync-token>")
	return nil
}

// limitOf reads DAV:limit (RFC 5323, 5.17), 0 where there is none.
func limitOf(body *node) (int, error) {
	limit := body.child(nsDAV, "limit")
	if limit == nil {
		return 0, nil
	}
	if n := limit.child(nsDAV, "nresults"); n != nil {
		if results, err := strconv.Atoi(trimSpace(string(n.text))); err == nil && results > 0 {
			return results, nil
		}
	}
	return 0, &failure{http.StatusBadRequest, "A limit holds a number of nresults above 0 (RFC 5323, 5.17)."}
}

// trimSpace takes off what XML counts as white space.
func trimSpace(s string) string { return strings.Trim(s, " \t\r\n") }
