package agenda

import (
	"testing"
	"time"

	"limekeep/schedule/record"
)

// A sitting keeps its UID where it stands and where it moves, also when tasks join
// or leave; one that is new gets a number that none ever had (RFC 5545, 3.8.4.7: a
// UID is of one object for good).
func TestGroupsKeepTheirUIDs(t *testing.T) {
	saturday := time.Date(2026, time.November, 28, 9, 0, 0, 0, time.UTC)
	week := 7 * 24 * time.Hour
	published := []record.PublishedGroup{
		{UID: "k.sitting.1@limekeep", Kind: record.SittingGroup, Start: saturday, Tasks: []string{"a", "b", "c"}},
		{UID: "k.sitting.2@limekeep", Kind: record.SittingGroup, Start: saturday.Add(week), Tasks: []string{"d", "e"}},
		{UID: "k.visit.3@limekeep", Kind: record.VisitGroup, Of: "machine", Start: saturday, Tasks: []string{"v"}},
	}
	for _, c := range []struct {
		name string
		want []record.PublishedGroup
		uids []string
	}{
		{"all as it was", published, []string{"k.sitting.1@limekeep", "k.sitting.2@limekeep", "k.visit.3@limekeep"}},
		{"a task joins and one leaves", []record.PublishedGroup{
			{Kind: record.SittingGroup, Start: saturday, Tasks: []string{"a", "x"}},
		}, []string{"k.sitting.1@limekeep"}},
		{"a sitting moves a week on, with most of its tasks", []record.PublishedGroup{
			{Kind: record.SittingGroup, Start: saturday.Add(2 * week), Tasks: []string{"a", "b", "z"}},
		}, []string{"k.sitting.1@limekeep"}},
		{"what stands on the day comes before what shares tasks", []record.PublishedGroup{
			{Kind: record.SittingGroup, Start: saturday.Add(3 * week), Tasks: []string{"d"}},
			{Kind: record.SittingGroup, Start: saturday.Add(week), Tasks: []string{"e"}},
		}, []string{"k.sitting.4@limekeep", "k.sitting.2@limekeep"}},
		{"other work on another day is another sitting", []record.PublishedGroup{
			{Kind: record.SittingGroup, Start: saturday.Add(4 * week), Tasks: []string{"y"}},
		}, []string{"k.sitting.4@limekeep"}},
		{"a visit is no sitting, and one to another machine another visit", []record.PublishedGroup{
			{Kind: record.VisitGroup, Of: "grinder", Start: saturday, Tasks: []string{"v"}},
			{Kind: record.VisitGroup, Of: "machine", Start: saturday.Add(week), Tasks: []string{"v"}},
		}, []string{"k.visit.4@limekeep", "k.visit.3@limekeep"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := &groups{given: 3}
			g.open = append(g.open, published...)
			got := g.claims("k", c.want)
			for i := range c.uids {
				if got[i] != c.uids[i] {
					t.Errorf("group %d got %s, want %s", i, got[i], c.uids[i])
				}
			}
		})
	}
}

// What was done takes over the entry of the sitting that ended with it, and keeps
// it on the days after.
func TestDoneKeepsTheSittingsUID(t *testing.T) {
	on := record.NewDate(2026, time.November, 28)
	g := &groups{open: []record.PublishedGroup{{UID: "k.sitting.1@limekeep", Kind: record.SittingGroup, Tasks: []string{"a", "b"}}}}
	if got := g.claimDone("k", on, []string{"b", "a"}); got != "k.sitting.1@limekeep" {
		t.Errorf("the finished sitting went on as %s", got)
	}
	if got := g.claimDone("k", on+1, []string{"c"}); got != "k.done.2026-11-29@limekeep" {
		t.Errorf("work of no sitting is %s", got)
	}
	g = &groups{done: []record.PublishedGroup{{UID: "k.sitting.1@limekeep", Kind: record.DoneGroup, Done: on}}}
	if got := g.claimDone("k", on, []string{"a", "b", "c"}); got != "k.sitting.1@limekeep" {
		t.Errorf("on the day after it is %s", got)
	}
}
