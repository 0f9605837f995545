package day

import (
	"context"
	"errors"
	"fmt"
	"time"

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
		return fmt.Sprintf("this is a %s record, which a corrected place file puts right", kind)
	case record.KindPublication:
		return "a plan that went out cannot be unsaid"
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
}

// History lists all records of the place up to the day, oldest first,
// those that were voided included and marked.
func (d *Day) History(ctx context.Context) ([]HistoryLine, error) {
	entries, err := d.opener.Records.History(ctx, d.Place.ID, d.Today)
	if err != nil {
		return nil, err
	}
	lines := make([]HistoryLine, len(entries))
	for i, e := range entries {
		lines[i] = historyLine(e)
	}
	return lines, nil
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
	case entry.Place != d.Place.ID || entry.Effective > d.Today:
		return nil, nil
	}
	line := historyLine(entry)
	return &line, nil
}

func historyLine(e record.Entry) HistoryLine {
	return HistoryLine{Record: e.ID, On: e.Effective, Kind: e.Kind(), Says: say.Record(e.Body), Entered: e.Entered, Source: e.Source, Voided: e.Voided}
}
