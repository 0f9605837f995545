package schedule

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

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
	return HistoryLine{Record: e.ID, On: e.Effective, Kind: e.Kind(), Says: says(e.Body), Entered: e.Entered, Source: e.Source, Voided: e.Voided}
}

// says puts a record in a few words.
func says(body record.Body) string {
	switch b := body.(type) {
	case record.Place:
		return fmt.Sprintf("%s, %s", cmp.Or(b.Name, b.ID), b.Zone)
	case record.Equipment:
		return fmt.Sprintf("%s: %s, %s", b.ID, kindOf(b), b.Title())
	case record.Retired:
		return b.Equipment + " left the place"
	case record.WaterTest:
		return testSays(b)
	case record.UseBatch:
		text := fmt.Sprintf("%s: %s", b.Machine, count(b.Rows, "row"))
		if b.From != b.To {
			text += fmt.Sprintf(", %s to %s", b.From, b.To)
		}
		if b.File != "" {
			text += ", from " + b.File
		}
		return withNote(text, b.Note)
	case record.Service:
		text := b.Task
		if b.Finding != "" {
			text += ", found " + string(b.Finding)
		}
		if b.Grams > 0 {
			text += fmt.Sprintf(", %s g", asWritten(b.Grams))
		}
		if b.Left > 0 {
			text += fmt.Sprintf(", %.0f %% left", 100*b.Left)
		}
		return withNote(text, b.Note)
	case record.Measurement:
		return measurementSays(b)
	case record.OwnCare:
		return fmt.Sprintf("the care catalogue: %s, %s of your own", count(len(b.Changes), "change"), count(len(b.Tasks), "task"))
	case record.Void:
		return withNote(fmt.Sprintf("record %d is void", b.Record), b.Why)
	case record.Pin:
		switch {
		case b.On != 0:
			return withNote(fmt.Sprintf("%s on %s", b.Task, b.On), b.Note)
		case b.After != 0:
			return withNote(fmt.Sprintf("%s not before the day after %s", b.Task, b.After), b.Note)
		}
		return withNote(b.Task+" wherever the plan puts it", b.Note)
	case record.Blocked:
		return withNote(fmt.Sprintf("no sittings from %s to %s", b.From, b.To), b.Note)
	case record.Stock:
		return stockSays(b)
	case record.AppTask:
		text := fmt.Sprintf("%q from a task app, for %s, due %s", b.Title, b.Equipment, b.Due)
		if b.EveryDays > 0 {
			text += fmt.Sprintf(", then every %s days", asWritten(b.EveryDays))
		}
		if b.Dropped {
			text = fmt.Sprintf("%q from a task app was deleted there", b.Title)
		}
		return text
	case record.Publication:
		return "plan with " + count(len(b.Entries), "date")
	case record.Away, record.Guests, record.MeterReading, record.Bag:
		return useSays(b)
	}
	return string(record.Entry{Body: body}.Kind())
}

func testSays(t record.WaterTest) string {
	var values []string
	for _, v := range t.Test.Values {
		values = append(values, fmt.Sprintf("%s %s %s", v.Quantity, asWritten(v.Value), v.Unit))
	}
	text := t.Line + ": " + strings.Join(values, ", ")
	if t.After != "" {
		text += ", behind " + t.After
	}
	return withNote(text, t.Note)
}

// asWritten gives a figure back with all the digits somebody wrote down.
func asWritten(x float64) string { return figure.Exact(x) }

func withNote(text, note string) string {
	if note == "" {
		return text
	}
	return text + " (" + note + ")"
}
