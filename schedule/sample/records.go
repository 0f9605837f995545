package sample

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"iter"
	"maps"
	"slices"
	"sync"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// Records keeps records in slices, as a store must keep them.
type Records struct {
	mu      sync.Mutex
	Entries []record.Entry
	Rows    map[int64][]record.UseRow // by the record of their batch
	Fails   error                     // returned by every call, where set
	Reads   int                       // of a book, or of what is new in it
	Books   int                       // that were read whole
}

var _ schedule.Records = (*Records)(nil)

// Places lists the ids of the places.
func (m *Records) Places(context.Context) ([]string, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var ids []string
	for _, e := range m.Entries {
		if p, ok := e.Body.(record.Place); ok && !slices.Contains(ids, p.ID) {
			ids = append(ids, p.ID)
		}
	}
	slices.Sort(ids)
	return ids, m.Fails
}

// Read returns the book of a place.
func (m *Records) Read(_ context.Context, place string, until record.Date) (*record.Book, error) {
	entries, err := m.upTo(place, until)
	if err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.Reads++
	m.Books++
	var days []record.UseDay
	for _, e := range entries {
		if batch, ok := e.Body.(record.UseBatch); ok && e.Voided == 0 {
			days = append(days, sumsOf(e.ID, batch.Machine, m.Rows[e.ID])...)
		}
	}
	return record.NewBook(until, entries, days), nil
}

// sumsOf gives the sums of a batch's rows, day by day.
func sumsOf(id int64, machine string, rows []record.UseRow) []record.UseDay {
	var days []record.UseDay
	for _, r := range rows {
		i := slices.IndexFunc(days, func(d record.UseDay) bool { return d.Date == r.Date })
		if i < 0 {
			i = len(days)
			days = append(days, record.UseDay{Machine: machine, Date: r.Date, Record: id})
		}
		d := &days[i]
		d.Shots += r.Shots
		if r.DoseGrams > 0 {
			d.DosedShots += r.Shots
			d.DoseGrams += r.Shots * r.DoseGrams
		}
		if r.YieldGrams > 0 {
			d.YieldShots += r.Shots
			d.YieldGrams += r.Shots * r.YieldGrams
		}
		d.Steamed += r.Steamed
		d.HotWaterLitres += r.HotWaterLitres
		if r.Minute >= 0 {
			d.HalfHours |= 1 << (r.Minute / 30)
		}
	}
	return days
}

// History hands over the entries of a place after one, by their numbers.
func (m *Records) History(_ context.Context, place string, after int64, take func(record.Entry) error) error {
	entries, err := m.upTo(place, schedule.EndOfTime)
	slices.SortFunc(entries, func(a, b record.Entry) int { return cmp.Compare(a.ID, b.ID) })
	for _, e := range entries {
		if err == nil && e.ID > after {
			err = take(e)
		}
	}
	return err
}

// Since returns what was written down of a place after a record.
func (m *Records) Since(ctx context.Context, place string, after int64) (record.Addition, error) {
	m.mu.Lock()
	m.Reads++
	m.mu.Unlock()
	var added record.Addition
	err := m.History(ctx, place, after, func(e record.Entry) error {
		added.Entries = append(added.Entries, e)
		if batch, ok := e.Body.(record.UseBatch); ok && e.Voided == 0 {
			m.mu.Lock()
			defer m.mu.Unlock()
			added.Days = append(added.Days, sumsOf(e.ID, batch.Machine, m.Rows[e.ID])...)
		}
		return nil
	})
	return added, err
}

// upTo returns the entries of a place up to a day.
func (m *Records) upTo(place string, until record.Date) ([]record.Entry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var found []record.Entry
	for _, e := range m.Entries {
		if e.Place == place && e.Effective <= until {
			e.Voided = m.voiding(e.ID)
			found = append(found, e)
		}
	}
	slices.SortStableFunc(found, func(a, b record.Entry) int {
		return cmp.Or(cmp.Compare(a.Effective, b.Effective), cmp.Compare(a.ID, b.ID))
	})
	return found, m.Fails
}

// voiding gives the record that voids one, 0 where none does.
func (m *Records) voiding(id int64) int64 {
	for _, e := range m.Entries {
		if v, ok := e.Body.(record.Void); ok && v.Record == id {
			return e.ID
		}
	}
	return 0
}

// Find returns one entry.
func (m *Records) Find(_ context.Context, id int64) (record.Entry, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.Fails != nil {
		return record.Entry{}, m.Fails
	}
	if id < 1 || id > int64(len(m.Entries)) {
		return record.Entry{}, &record.UnknownError{What: "record", Name: fmt.Sprint(id)}
	}
	e := m.Entries[id-1]
	e.Voided = m.voiding(id)
	return e, nil
}

// Version returns the version of the records.
func (m *Records) Version(context.Context) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return int64(len(m.Entries)), m.Fails
}

// VersionOf returns the version of a place.
func (m *Records) VersionOf(_ context.Context, place string) (int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	version := int64(0)
	for _, e := range m.Entries {
		if e.Place == place {
			version = max(version, e.ID)
		}
	}
	return version, m.Fails
}

// VersionsSince returns the versions of the places that were written at since.
func (m *Records) VersionsSince(_ context.Context, since int64) (map[string]int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	versions := map[string]int64{}
	for _, e := range m.Entries {
		if e.ID > since {
			versions[e.Place] = max(versions[e.Place], e.ID)
		}
	}
	return versions, m.Fails
}

// AppendAfter keeps a publication that follows on another.
func (m *Records) AppendAfter(ctx context.Context, last int64, entry record.Entry) (int64, error) {
	m.mu.Lock()
	now := int64(0)
	for _, e := range m.Entries {
		if e.Kind() == record.KindPublication && e.Place == entry.Place && e.Effective <= entry.Effective {
			now = e.ID
		}
	}
	m.mu.Unlock()
	if now != last {
		return 0, schedule.ErrOtherPublication
	}
	ids, err := m.Append(ctx, entry)
	if err != nil {
		return 0, err
	}
	return ids[0], nil
}

// Append keeps entries.
func (m *Records) Append(_ context.Context, entries ...record.Entry) ([]int64, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.Fails != nil {
		return nil, m.Fails
	}
	for _, e := range entries {
		if err := e.Body.Validate(); err != nil {
			return nil, err
		}
	}
	var ids []int64
	for _, e := range entries {
		e.ID = int64(len(m.Entries) + 1)
		ids = append(ids, e.ID)
		m.Entries = append(m.Entries, e)
	}
	return ids, nil
}

// AppendUse keeps a batch of use.
func (m *Records) AppendUse(ctx context.Context, entry record.Entry, rows iter.Seq2[record.UseRow, error]) (schedule.UseResult, error) {
	return m.importUse(ctx, entry, rows, false)
}

// ReplaceUse keeps a batch of use in place of the rows that it has anew.
func (m *Records) ReplaceUse(ctx context.Context, entry record.Entry, rows iter.Seq2[record.UseRow, error]) (schedule.UseResult, error) {
	return m.importUse(ctx, entry, rows, true)
}

func (m *Records) importUse(_ context.Context, entry record.Entry, rows iter.Seq2[record.UseRow, error], replace bool) (schedule.UseResult, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.Fails != nil {
		return schedule.UseResult{}, m.Fails
	}
	batch := entry.Body.(record.UseBatch)
	given := !batch.From.IsZero()
	var kept []record.UseRow
	replaced := map[int64]bool{} // the batches whose rows came anew
	var result schedule.UseResult
	var preview error
	for r, err := range rows {
		if errors.Is(err, schedule.ErrPreview) {
			preview = err
			break
		}
		if err != nil {
			return schedule.UseResult{}, err
		}
		if batch, was, ok := m.holds(entry.Place, batch.Machine, r); ok {
			result.Known++
			if was != r {
				result.Changed++
				result.Note(was, r)
				replaced[batch] = replace
			}
			if was == r || !replace {
				continue
			}
		}
		kept = append(kept, r)
		if !given && (batch.From == 0 || r.Date < batch.From) {
			batch.From = r.Date
		}
		if !given {
			batch.To = max(batch.To, r.Date)
		}
	}
	result.Added, result.From, result.To = len(kept), batch.From, batch.To
	if preview != nil || len(kept) == 0 && (result.Known > 0 || !given) {
		return result, preview
	}
	batch.Rows = len(kept)
	entry.Body, entry.Effective, entry.ID = batch, batch.From, int64(len(m.Entries)+1)
	m.Entries = append(m.Entries, entry)
	if m.Rows == nil {
		m.Rows = map[int64][]record.UseRow{}
	}
	m.Rows[entry.ID] = kept
	result.ID = entry.ID
	for _, batch := range slices.Sorted(maps.Keys(replaced)) {
		if replaced[batch] {
			m.keepRest(entry, batch, kept)
		}
	}
	return result, nil
}

// keepRest voids a batch and keeps its rows but for those that came anew.
func (m *Records) keepRest(by record.Entry, batch int64, anew []record.UseRow) {
	old := m.Entries[batch-1]
	void := by
	void.Effective, void.Body, void.ID = old.Effective, record.Void{Record: batch}, int64(len(m.Entries)+1)
	m.Entries = append(m.Entries, void)
	rest := slices.DeleteFunc(slices.Clone(m.Rows[batch]), func(k record.UseRow) bool {
		return slices.ContainsFunc(anew, func(r record.UseRow) bool { return sameInstant(k, r) })
	})
	if len(rest) == 0 {
		return
	}
	body := old.Body.(record.UseBatch)
	body.Rows = len(rest)
	old.Body, old.ID, old.Entered, old.Source = body, int64(len(m.Entries)+1), by.Entered, by.Source
	m.Entries = append(m.Entries, old)
	m.Rows[old.ID] = rest
}

func sameInstant(a, b record.UseRow) bool {
	return a.Date == b.Date && a.Minute == b.Minute && a.Ordinal == b.Ordinal
}

// holds returns the row that was kept before at the same instant by a batch that
// nothing voided, and the batch.
func (m *Records) holds(place, machine string, r record.UseRow) (int64, record.UseRow, bool) {
	for _, e := range m.Entries {
		batch, ok := e.Body.(record.UseBatch)
		if !ok || e.Place != place || batch.Machine != machine || m.voiding(e.ID) != 0 {
			continue
		}
		for _, k := range m.Rows[e.ID] {
			if sameInstant(k, r) {
				return e.ID, k, true
			}
		}
	}
	return 0, record.UseRow{}, false
}

// Count returns how many records there are.
func (m *Records) Count() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	return len(m.Entries)
}

// Of returns the records of a kind.
func (m *Records) Of(kind record.Kind) []record.Entry {
	m.mu.Lock()
	defer m.mu.Unlock()
	var found []record.Entry
	for _, e := range m.Entries {
		if e.Kind() == kind {
			found = append(found, e)
		}
	}
	return found
}

// Last returns the record that was kept last.
func (m *Records) Last() record.Entry {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.Entries[len(m.Entries)-1]
}
