package day

import (
	"cmp"
	"context"
	"slices"
	"sync"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// toldHistory keeps in words what the records of a place say. They only grow, and none
// changes but by being voided, so that asked again it reads no more than what was
// written down since.
type toldHistory struct {
	mu    sync.Mutex
	from  schedule.Records
	place string
	last  int64         // id of the last record that was read
	lines []HistoryLine // by effective day and then by id, as they are on any day
}

// of returns the history of a place, which stays as it is: nobody changes it.
func (t *toldHistory) of(ctx context.Context, records schedule.Records, place string) ([]HistoryLine, error) {
	version, err := records.Version(ctx)
	if err != nil {
		return nil, err
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	next := toldHistory{}
	if records == t.from && place == t.place && version >= t.last {
		next.last, next.lines = t.last, slices.Clone(t.lines)
	}
	if version > next.last {
		if err := records.History(ctx, place, next.last, next.take); err != nil {
			return nil, err
		}
		inOrder := func(a, b HistoryLine) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Record, b.Record)) }
		slices.SortFunc(next.lines, inOrder)
		next.last = max(version, next.last)
	}
	t.from, t.place, t.last, t.lines = records, place, next.last, next.lines
	return t.lines, nil
}

// take adds an entry, and marks what it voids.
func (t *toldHistory) take(e record.Entry) error {
	if void, ok := e.Body.(record.Void); ok {
		if i := slices.IndexFunc(t.lines, func(l HistoryLine) bool { return l.Record == void.Record }); i >= 0 {
			t.lines[i].Voided = e.ID
		}
	}
	t.lines = append(t.lines, historyLine(e))
	t.last = max(t.last, e.ID)
	return nil
}
