package day

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// MayBeVoided tells whether a record can be taken back: neither what stays, nor
// what is void already or makes another void.
func (l HistoryLine) MayBeVoided() bool {
	return l.Voided == 0 && l.Kind != record.KindVoid && Stays(l.Kind) == ""
}

// Stays says why a record of a kind cannot be taken back; empty where it can.
func Stays(kind record.Kind) string {
	switch kind {
	case record.KindPlace, record.KindEquipment, record.KindRetired, record.KindOwnCare:
		return fmt.Sprintf("this is a %s record, which the settings or a place file put right", kind)
	case record.KindPublication:
		return "a plan that went out cannot be unsaid"
	case record.KindServiceReport:
		return "a report that was signed stays; what was wrong in it is put right by its own records, and the report tells of that"
	}
	return ""
}

// HistoryLine is one record as history shows it.
type HistoryLine struct {
	Record  int64       `json:"record"`
	On      record.Date `json:"on"`
	Kind    record.Kind `json:"kind"`
	Says    string      `json:"says"`
	Entered time.Time   `json:"entered"`
	Source  string      `json:"source"`
	Voided  int64       `json:"voided_by,omitempty"`
	Ahead   bool        `json:"dated_ahead,omitempty"` // it lies ahead, and counts for nothing until then

	body record.Body // without what is said by its number alone
	day  *Day        // that it is seen from
}

// Told is a record as people read it: with the titles of tasks and equipment in the
// place of ids, and with dates in words. What somebody typed beside it stands apart, so
// that nobody puts its figures another way.
type Told struct{ Says, Note, After string }

// isoDate is a date as records say it.
var isoDate = regexp.MustCompile(`\b\d{4}-\d\d-\d\d\b`)

// Told tells of the record.
func (l HistoryLine) Told() Told {
	told := Told{Says: l.Says}
	if l.body != nil && l.day != nil {
		told.Says = say.Record(say.Named(l.body, l.day.title))
		if l.Ahead && l.Voided == 0 {
			told.After = datedAhead
		}
		if note := say.NoteOf(l.body); note != "" {
			told.Note = say.OneLine(note)
			told.Says = strings.TrimSuffix(told.Says, say.WithNote("", note))
		}
	}
	told.Says = isoDate.ReplaceAllStringFunc(told.Says, func(text string) string {
		if d, err := record.ParseDate(text); err == nil {
			return d.Long()
		}
		return text
	})
	return told
}

// title returns what people call a task or a piece of equipment; its id where nothing
// here has it any more. A task that two machines have is told with its machine.
func (d *Day) title(id string) string {
	for _, duty := range d.Duties {
		if duty.ID != id {
			continue
		}
		title, alone := duty.Title, true
		for _, other := range d.Duties {
			alone = alone && (other.ID == id || other.Title != title)
		}
		if alone {
			return title
		}
		return title + " of " + duty.Equipment.Title()
	}
	if e, err := d.Book.Find(id); err == nil && e.ID == id {
		return e.Title()
	}
	return id
}

// History lists all records of the place up to the day, oldest first,
// those that were voided included and marked. Where the day is that of the clock, what
// is dated ahead of it is there as well and marked: the clock was wrong when it was
// written down.
func (d *Day) History(ctx context.Context) ([]HistoryLine, error) {
	all, err := d.opener.history.of(ctx, d.opener.Records, d.Place.ID)
	if err != nil {
		return nil, err
	}
	until := d.seen()
	lines := make([]HistoryLine, 0, len(all))
	for _, l := range all {
		if l.On > until {
			break
		}
		lines = append(lines, d.seenFrom(l))
	}
	return lines, nil
}

// seen is the last day that history shows.
func (d *Day) seen() record.Date {
	if d.clock != nil {
		return schedule.EndOfTime
	}
	return d.Today // a day that was named knows nothing of later ones
}

// HistoryLine returns one record of the place; nil where it has none of that
// number up to the day.
func (d *Day) HistoryLine(ctx context.Context, id int64) (*HistoryLine, error) {
	entry, err := d.opener.Records.Find(ctx, id)
	switch {
	case errors.Is(err, record.ErrUnknown):
		return nil, nil
	case err != nil:
		return nil, err
	case entry.Place != d.Place.ID || entry.Effective > d.seen():
		return nil, nil
	}
	line := d.seenFrom(historyLine(entry))
	return &line, nil
}

// datedAhead follows on what a record says that lies ahead.
const datedAhead = " (dated ahead: it counts from that day on; where the day is wrong, take it back and write it down anew)"

// seenFrom marks a record that lies ahead of the day.
func (d *Day) seenFrom(l HistoryLine) HistoryLine {
	l.day = d
	if l.Ahead = l.On > d.Today; l.Ahead && l.Voided == 0 {
		l.Says += datedAhead
	}
	return l
}

func historyLine(e record.Entry) HistoryLine {
	l := HistoryLine{Record: e.ID, On: e.Effective, Kind: e.Kind(), Says: say.Record(e.Body), Entered: e.Entered, Source: e.Source, Voided: e.Voided}
	if l.Kind != record.KindPublication {
		l.body = e.Body
	}
	return l
}
