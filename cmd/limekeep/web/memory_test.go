package web_test

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"slices"
	"sync"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// memory keeps records in a slice: all that the pages need of a store.
type memory struct {
	mu      sync.Mutex
	entries []record.Entry
	days    []record.UseDay
	fails   error // given by every reading, where set
}

var _ schedule.Records = (*memory)(nil)

func (m *memory) Places(context.Context) ([]string, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.fails != nil {
		return nil, m.fails
	}
	var ids []string
	for _, e := range m.entries {
		if p, ok := e.Body.(record.Place); ok && !slices.Contains(ids, p.ID) {
			ids = append(ids, p.ID)
		}
	}
	slices.Sort(ids)
	return ids, nil
}

func (m *memory) Read(ctx context.Context, place string, until record.Date) (*record.Book, error) {
	entries, err := m.History(ctx, place, until)
	if err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	var days []record.UseDay
	for _, d := range m.days {
		if slices.ContainsFunc(entries, func(e record.Entry) bool { return e.ID == d.Record && e.Voided == 0 }) {
			days = append(days, d)
		}
	}
	return record.NewBook(until, entries, days), nil
}

func (m *memory) History(_ context.Context, place string, until record.Date) ([]record.Entry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.fails != nil {
		return nil, m.fails
	}
	voids := map[int64]int64{}
	for _, e := range m.entries {
		if v, ok := e.Body.(record.Void); ok {
			voids[v.Record] = e.ID
		}
	}
	var found []record.Entry
	for _, e := range m.entries {
		if e.Place == place && e.Effective <= until {
			e.Voided = voids[e.ID]
			found = append(found, e)
		}
	}
	slices.SortStableFunc(found, func(a, b record.Entry) int {
		return cmp.Or(cmp.Compare(a.Effective, b.Effective), cmp.Compare(a.ID, b.ID))
	})
	return found, nil
}

func (m *memory) Find(_ context.Context, id int64) (record.Entry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if id < 1 || id > int64(len(m.entries)) {
		return record.Entry{}, &record.UnknownError{What: "record", Name: fmt.Sprint(id)}
	}
	return m.entries[id-1], nil
}

func (m *memory) Version(context.Context) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return int64(len(m.entries)), m.fails
}

func (m *memory) AppendAt(ctx context.Context, version int64, entry record.Entry) (int64, error) {
	if now, err := m.Version(ctx); err != nil || now != version {
		return 0, cmp.Or(err, schedule.ErrOtherVersion)
	}
	ids, err := m.Append(ctx, entry)
	if err != nil {
		return 0, err
	}
	return ids[0], nil
}

func (m *memory) Append(_ context.Context, entries ...record.Entry) ([]int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var ids []int64
	for _, e := range entries {
		if err := e.Body.Validate(); err != nil {
			return nil, err
		}
		e.ID = int64(len(m.entries) + len(ids) + 1)
		ids = append(ids, e.ID)
	}
	for i, e := range entries {
		e.ID = ids[i]
		m.entries = append(m.entries, e)
	}
	return ids, nil
}

// AppendUse keeps an entry by hand, a row a day: no page brings a file.
func (m *memory) AppendUse(_ context.Context, batch record.Entry, rows iter.Seq2[record.UseRow, error]) (schedule.UseResult, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	body := batch.Body.(record.UseBatch)
	batch.ID = int64(len(m.entries) + 1)
	var days []record.UseDay
	for row, err := range rows {
		if err != nil {
			return schedule.UseResult{}, err
		}
		days = append(days, record.UseDay{Machine: body.Machine, Date: row.Date, Record: batch.ID, Shots: row.Shots, Steamed: row.Steamed, HotWaterLitres: row.HotWaterLitres})
	}
	body.Rows = len(days)
	batch.Body, batch.Effective = body, body.From
	m.entries, m.days = append(m.entries, batch), append(m.days, days...)
	return schedule.UseResult{ID: batch.ID, Added: len(days), From: body.From, To: body.To}, nil
}

// count tells how many records of a kind were kept.
func (m *memory) count(kind record.Kind) int {
	m.mu.Lock()
	defer m.mu.Unlock()
	n := 0
	for _, e := range m.entries {
		if e.Kind() == kind {
			n++
		}
	}
	return n
}

// last gives the record that was kept last.
func (m *memory) last() record.Entry {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.entries[len(m.entries)-1]
}
