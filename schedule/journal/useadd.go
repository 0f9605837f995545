package journal

import (
	"context"
	"fmt"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// UseEntry is what somebody writes down of some days by hand.
type UseEntry struct {
	Machine  string      // may be left empty where the place has just one
	From, To record.Date // today where zero; one day where To is
	Sum      record.UseRow
	Note     string
	// What was not said at all, so that the habit tells it.
	MilkUnsaid     bool
	HotWaterUnsaid bool
}

// AddUse writes down what was drawn on some days, spread evenly over them.
func (j *Journal) AddUse(ctx context.Context, d *day.Day, u UseEntry) (Receipt, error) {
	e, err := day.Pick(d.Book, u.Machine, "machine", func(e record.Equipment) bool { return e.Machine != nil })
	if err != nil {
		return Receipt{}, err
	}
	from, err := settleDay(d.Today, u.From, e)
	if err != nil {
		return Receipt{}, err
	}
	to := u.To
	if to.IsZero() {
		to = from
	}
	if to, err = settleDay(d.Today, to, e); err != nil {
		return Receipt{}, err
	}
	batch := record.UseBatch{Machine: e.ID, From: from, To: to, Note: u.Note, MilkUnsaid: u.MilkUnsaid, HotWaterUnsaid: u.HotWaterUnsaid}
	if err := batch.Validate(); err != nil {
		return Receipt{}, err
	}
	ordinal, err := j.handOrdinal(ctx)
	if err != nil {
		return Receipt{}, err
	}
	days := float64(to-from) + 1
	row := u.Sum
	row.Minute, row.Ordinal = -1, ordinal
	row.Shots, row.Steamed, row.HotWaterLitres = row.Shots/days, row.Steamed/days, row.HotWaterLitres/days
	rows := func(yield func(record.UseRow, error) bool) {
		for day := from; day <= to; day++ {
			row.Date = day
			if err := row.Validate(); err != nil {
				yield(row, err)
				return
			}
			if !yield(row, nil) {
				return
			}
		}
	}
	result, err := j.Days.Records.AppendUse(ctx, j.entry(d.Place.ID, from, batch), rows)
	for err == nil && result.ID == 0 && result.Known > 0 { // somebody wrote the same down at this moment
		row.Ordinal++
		result, err = j.Days.Records.AppendUse(ctx, j.entry(d.Place.ID, from, batch), rows)
	}
	if err != nil {
		return Receipt{}, err
	}
	what := "use of " + e.ID
	if n, log := logged(d.Book, e.ID, from, to); n > 0 {
		what += fmt.Sprintf("; a log (record %d) has rows of %s of its %s and counts there instead", log, say.Count(n, "day"), say.Count(int(days), "day"))
	}
	return Receipt{Record: result.ID, On: from, What: what}, nil
}

// logged counts the days of a machine that a log has rows of, and names one.
func logged(book *record.Book, machine string, from, to record.Date) (days int, log int64) {
	logs := map[int64]bool{}
	for _, b := range book.UseBatches(machine) {
		logs[b.ID] = !b.Body.ByHand()
	}
	seen := map[record.Date]bool{}
	for _, u := range book.DaysOf(machine) {
		if logs[u.Record] && from <= u.Date && u.Date <= to {
			seen[u.Date] = true
			log = u.Record
		}
	}
	return len(seen), log
}

// handOrdinals is where the ordinals of entries by hand begin, so that no row of
// a file is taken for one of them.
const handOrdinals = 1_000_000

// handOrdinal tells an entry by hand from every other: somebody who writes two
// down for one day means both. It grows with every record, of which there are at
// least as many as entries by hand.
func (j *Journal) handOrdinal(ctx context.Context) (int, error) {
	version, err := j.Days.Records.Version(ctx)
	return handOrdinals + int(version) + 1, err
}
