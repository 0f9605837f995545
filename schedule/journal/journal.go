package journal

import (
	"context"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Journal writes down what people did, found and measured, and what they want.
// Each of its methods checks what it is told against the day it is told on, keeps
// it as a record and answers what that changed. A day that was opened before does
// not know of the record: see Day.After.
type Journal struct {
	Days   *day.Opener
	Source string // the door: "command", "page"
}

// AppSource returns the source of what a task app brings, by the name of its
// password.
func AppSource(app string) string { return appSource + app }

// appSource begins the source of all that task apps bring.
const appSource = "task app: "

// From returns a journal for what comes by another door.
func (j *Journal) From(source string) *Journal { return &Journal{Days: j.Days, Source: source} }

// Receipt tells what was written down.
type Receipt struct {
	Record int64       `json:"record"`
	On     record.Date `json:"on"`
	What   string      `json:"what"` // in a few words
}

// entry makes a record of a place.
func (j *Journal) entry(place string, effective record.Date, body record.Body) record.Entry {
	return record.Entry{
		Place:     place,
		Effective: effective,
		Entered:   j.Days.Now().UTC().Truncate(time.Second),
		Source:    j.Source,
		Body:      body,
	}
}

// write keeps one record.
func (j *Journal) write(ctx context.Context, d *day.Day, on record.Date, body record.Body, what string) (Receipt, error) {
	return j.keep(ctx, j.entry(d.Place.ID, on, body), what)
}

// keep keeps a record.
func (j *Journal) keep(ctx context.Context, entry record.Entry, what string) (Receipt, error) {
	ids, err := j.Days.Records.Append(ctx, entry)
	if err != nil {
		return Receipt{}, err
	}
	return Receipt{Record: ids[0], On: entry.Effective, What: what}, nil
}

// After returns the day that a record was written on, once it is written.
func (j *Journal) After(ctx context.Context, d *day.Day, written Receipt) (*day.Day, error) {
	entry, err := j.Days.Records.Find(ctx, written.Record)
	if err != nil {
		return nil, err
	}
	return d.After(ctx, entry)
}
