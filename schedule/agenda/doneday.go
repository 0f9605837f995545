package agenda

import (
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// DoneDay is what was done on a day, sitting by sitting, as a calendar shows it.
type DoneDay struct {
	UID      string
	On       record.Date
	Done     []DoneEntry
	Sequence int
	Changed  time.Time
}

// addDoneDays gathers what was done day by day.
func (a *Agenda) addDoneDays(g *groups) {
	for i := 0; i < len(a.Done); {
		k := i
		var uids []string
		for k < len(a.Done) && a.Done[k].On == a.Done[i].On {
			uids = append(uids, a.Done[k].UID)
			k++
		}
		d := DoneDay{On: a.Done[i].On, Done: a.Done[i:k:k]}
		d.UID = g.claimDone(a.Place, d.On, uids)
		d.Sequence, d.Changed = a.stamp(d.UID, d.Content(), g.published)
		a.DoneDays = append(a.DoneDays, d)
		i = k
	}
}

// Summary names what was done, the weightiest first.
func (d DoneDay) Summary() string {
	turns := make([]day.TurnInfo, len(d.Done))
	for i, e := range d.Done {
		turns[i] = day.TurnInfo{Task: e.Task, Title: e.Title, Name: e.Name}
	}
	return nameTurns(turns)
}

// Content is a fingerprint of all that the entry shows.
func (d DoneDay) Content() string {
	var each []string
	for _, e := range d.Done {
		each = append(each, e.Content())
	}
	return fingerprint(struct {
		On   record.Date
		Done []string
	}{d.On, each})
}
