package agenda

import (
	"fmt"
	"slices"

	"limekeep/schedule/record"
)

// groups gives sittings, visits and days of work done the UIDs that they had in
// the last publication.
type groups struct {
	open      []record.PublishedGroup // of the last publication, those not claimed yet
	done      []record.PublishedGroup
	given     int                                // the highest number that a UID holds so far
	published map[string]record.PublishedSitting // every entry of the last publication, by UID
}

func groupsOf(book *record.Book, published map[string]record.PublishedSitting) *groups {
	last, _ := book.LastPublication()
	g := &groups{given: last.GroupsGiven, published: published}
	for _, p := range last.Groups {
		if p.Done.IsZero() {
			g.open = append(g.open, p)
		} else {
			g.done = append(g.done, p)
		}
	}
	return g
}

// claims gives every one of several groups its UID: first those that stand where
// one of their kind stood, then those that share most tasks with one, whatever
// day it had.
func (g *groups) claims(place string, all []record.PublishedGroup) []string {
	uids := make([]string, len(all))
	take := func(i, k int) {
		uids[i] = g.open[k].UID
		g.open = slices.Delete(g.open, k, k+1)
	}
	for i, want := range all {
		k := slices.IndexFunc(g.open, func(p record.PublishedGroup) bool {
			return p.Kind == want.Kind && p.Of == want.Of && p.Start.Equal(want.Start)
		})
		if k >= 0 {
			take(i, k)
		}
	}
	for i, want := range all {
		if uids[i] != "" {
			continue
		}
		if k := g.mostShared(want.Tasks, func(p record.PublishedGroup) bool { return p.Kind == want.Kind && p.Of == want.Of }); k >= 0 {
			take(i, k)
			continue
		}
		g.given++
		uids[i] = fmt.Sprintf("%s.%s.%d@limekeep", place, want.Kind, g.given)
	}
	return uids
}

// claimDone gives a day's work done its UID: the one it has already, else that of
// a sitting or visit that ended with it, else one of its own.
func (g *groups) claimDone(place string, on record.Date, tasks []string) string {
	for _, p := range g.done {
		if p.Done == on {
			return p.UID
		}
	}
	if k := g.mostShared(tasks, func(record.PublishedGroup) bool { return true }); k >= 0 {
		uid := g.open[k].UID
		g.open = slices.Delete(g.open, k, k+1)
		return uid
	}
	return fmt.Sprintf("%s.done.%s@limekeep", place, on)
}

// mostShared returns the open group, of those that may be, that shares most tasks
// with some; -1 where none shares any.
func (g *groups) mostShared(tasks []string, may func(record.PublishedGroup) bool) int {
	best, most := -1, 0
	for k, p := range g.open {
		if n := shared(p.Tasks, tasks); n > most && may(p) {
			best, most = k, n
		}
	}
	return best
}

// shared counts the strings of a that b has as well.
func shared(a, b []string) int {
	n := 0
	for _, x := range a {
		if slices.Contains(b, x) {
			n++
		}
	}
	return n
}
