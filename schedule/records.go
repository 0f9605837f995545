package schedule

import (
	"context"
	"errors"
	"iter"
	"slices"
	"sync"

	"limekeep/schedule/record"
)

// Records is where what people wrote down is kept. It only ever grows.
type Records interface {
	// Places lists the ids of the places that were set up, sorted.
	Places(ctx context.Context) ([]string, error)

	// Read gives the book of a place: all that is effective on or before
	// until and not voided, whenever it was entered; of publications only the
	// last one.
	Read(ctx context.Context, place string, until record.Date) (*record.Book, error)

	// Since gives what was written down of a place after a record, 0 for all: as the
	// records only ever grow, that and the book as it was then are the book.
	Since(ctx context.Context, place string, after int64) (record.Addition, error)

	// History hands over the entries of a place whose ids are above after, in the
	// order of their ids, voided ones marked and included, one at a time: there may
	// be many. An error of take ends it and is returned.
	History(ctx context.Context, place string, after int64, take func(record.Entry) error) error

	// Find gives one entry. An id that stands for nothing is an
	// error that matches record.ErrUnknown.
	Find(ctx context.Context, id int64) (record.Entry, error)

	// Version tells apart what the records hold: it grows with every record of
	// any place, whoever writes it.
	Version(ctx context.Context) (int64, error)

	// VersionOf is Version of one place: it grows with every record of the place,
	// whoever writes it, and with none of another; 0 for a place without records. It
	// is the number of the last of them.
	VersionOf(ctx context.Context, place string) (int64, error)

	// VersionsSince gives the version of each place at which something was written down
	// since the records had a version: one question for however many places.
	VersionsSince(ctx context.Context, version int64) (map[string]int64, error)

	// Append keeps all of the entries or none, and gives their ids. The ids in
	// the entries themselves are not looked at.
	Append(ctx context.Context, entries ...record.Entry) ([]int64, error)

	// AppendAfter keeps a publication that follows on the last one a book of its
	// place and day gives, 0 for none, if that is still the last; else nothing is
	// kept, and the error matches ErrOtherPublication. What else was written down
	// meanwhile is for the next publication.
	AppendAfter(ctx context.Context, last int64, entry record.Entry) (int64, error)

	// AppendUse keeps a batch of use with its rows, all or nothing; it is
	// effective from its first day. Rows that were kept before (same machine,
	// day, minute and ordinal, not voided) are counted as known and not kept
	// twice. A batch all of whose rows are known is not kept: its id is 0. A
	// batch with days of its own and no row says that nothing was drawn. The
	// rows are read once, with the store locked for writing; the first error of
	// the sequence ends the import with nothing written; where it is ErrPreview,
	// the result tells what would have become of the rows. When From is the zero
	// date, From and To are taken from the rows kept.
	AppendUse(ctx context.Context, batch record.Entry, rows iter.Seq2[record.UseRow, error]) (UseResult, error)

	// ReplaceUse is AppendUse, but for known rows that differ from what is kept:
	// they are kept with the batch. Each batch that brought one of them is voided,
	// and what is left of it is kept once more as a batch of its own.
	ReplaceUse(ctx context.Context, batch record.Entry, rows iter.Seq2[record.UseRow, error]) (UseResult, error)
}

// ErrOtherPublication says that another plan was published since.
var ErrOtherPublication = errors.New("another plan was published meanwhile: make it anew")

// UseResult tells what became of an import.
type UseResult struct {
	ID    int64 `json:"record"` // of the batch, 0 where nothing was new
	Added int   `json:"added"`
	Known int   `json:"known"` // rows that an earlier file had brought already
	// Of those known, how many say something else than what is kept. AppendUse
	// leaves what is kept as it is; ReplaceUse keeps them in its place, and counts
	// them as added as well.
	Changed int         `json:"changed,omitempty"`
	Changes *UseChanges `json:"-"` // the first of them, nil where there are none
	From    record.Date `json:"from"`
	To      record.Date `json:"to"`
}

// UseChanges are rows that came again and say something else.
type UseChanges struct {
	Rows []UseChange // in the order of the file, MostChangesShown at most
}

// UseChange is one of them.
type UseChange struct {
	Kept, Given record.UseRow
}

// MostChangesShown is how many changed rows an import tells of.
const MostChangesShown = 10

// Note adds a change, where there are not enough of them yet.
func (r *UseResult) Note(kept, given record.UseRow) {
	if r.Changes == nil {
		r.Changes = &UseChanges{}
	}
	if len(r.Changes.Rows) < MostChangesShown {
		r.Changes.Rows = append(r.Changes.Rows, UseChange{kept, given})
	}
}

// ErrPreview ends a sequence of rows that is not to be kept.
var ErrPreview = errors.New("a preview: nothing was written")

// OfPlace returns the records as who looks after one place sees them: their version is
// that of the place and of its water district, so that nothing that is written down of
// another makes it stale.
func OfPlace(records Records, place string) Records { return &ofPlace{Records: records, place: place} }

type ofPlace struct {
	Records
	place string

	mu       sync.Mutex
	until    record.Date // of the book that told the district
	district string      // as the place was read last
}

// Read reads a book, and sees from that of the place which district it is of.
func (o *ofPlace) Read(ctx context.Context, place string, until record.Date) (*record.Book, error) {
	book, err := o.Records.Read(ctx, place, until)
	if err != nil || place != o.place {
		return book, err
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if p, ok := book.Place(); ok && until >= o.until {
		o.until, o.district = until, p.District
	}
	return book, nil
}

// Since reads what is new, and sees whether the place moved to another district.
func (o *ofPlace) Since(ctx context.Context, place string, after int64) (record.Addition, error) {
	added, err := o.Records.Since(ctx, place, after)
	if err != nil || place != o.place {
		return added, err
	}
	if slices.ContainsFunc(added.Entries, func(e record.Entry) bool { return e.Kind() == record.KindPlace }) {
		_, err = o.Read(ctx, place, EndOfTime) // a place is told anew, and never taken back
	}
	return added, err
}

// Version returns the version of the place and its district. Until its book was read
// nobody knows that there is one.
func (o *ofPlace) Version(ctx context.Context) (int64, error) {
	version, err := o.VersionOf(ctx, o.place)
	o.mu.Lock()
	district := o.district
	o.mu.Unlock()
	if err != nil || district == "" {
		return version, err
	}
	shared, err := o.VersionOf(ctx, DistrictBook(district))
	return max(version, shared), err
}
