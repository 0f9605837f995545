package advice

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// SignedReport is a report that was signed, as it was signed, and what was put right since.
type SignedReport struct {
	Record int64       `json:"record"`
	On     record.Date `json:"on"`
	record.ServiceReport
	Corrections []Correction `json:"corrections"` // since it was signed, the oldest first
}

// Correction is something that was written down after a report was signed.
type Correction struct {
	Record  int64     `json:"record"`
	Entered time.Time `json:"entered"`
	Source  string    `json:"source"`
	Of      int64     `json:"takes_back,omitempty"` // record of the report that is void; 0 where something was added
	Says    string    `json:"says"`
	Note    string    `json:"note,omitempty"` // as somebody typed it
}

// ReportsSigned lists the reports of a place, the newest first.
func ReportsSigned(ctx context.Context, d *day.Day) ([]SignedReport, error) {
	all := []SignedReport{}
	for _, r := range slices.Backward(d.Book.ServiceReports()) {
		signed, err := signedReport(ctx, d, r)
		if err != nil {
			return nil, err
		}
		all = append(all, signed)
	}
	return all, nil
}

// ReportSigned returns a report by its record. One that is not there is an error that
// matches record.ErrUnknown.
func ReportSigned(ctx context.Context, d *day.Day, id int64) (SignedReport, error) {
	for _, r := range d.Book.ServiceReports() {
		if r.ID == id {
			return signedReport(ctx, d, r)
		}
	}
	return SignedReport{}, &record.UnknownError{What: "signed report", Name: fmt.Sprint(id)}
}

func signedReport(ctx context.Context, d *day.Day, r record.Dated[record.ServiceReport]) (SignedReport, error) {
	s := SignedReport{Record: r.ID, On: r.On, ServiceReport: r.Body, Corrections: []Correction{}}
	told := map[int64]bool{}
	add := func(id, of int64, title string) error {
		line, err := d.HistoryLine(ctx, id)
		if err != nil || line == nil || told[id] {
			return err
		}
		told[id] = true
		c := Correction{Record: id, Entered: line.Entered, Source: line.Source, Of: of}
		t := line.ToldAlone()
		c.Says, c.Note = title+": "+t.Says, t.Note
		if of != 0 {
			c.Says = title + ": taken back"
		}
		s.Corrections = append(s.Corrections, c)
		return nil
	}
	signed := map[int64]bool{}
	for _, w := range r.Body.Done {
		signed[w.Record] = true
		line, err := d.HistoryLine(ctx, w.Record)
		if err != nil {
			return s, err
		}
		if line != nil && line.Voided != 0 {
			if err := add(line.Voided, w.Record, w.Title); err != nil {
				return s, err
			}
		}
	}
	first, last := record.DateOf(r.Body.From.In(d.Zone)), record.DateOf(r.Body.To.In(d.Zone))
	for _, w := range slices.Concat(r.Body.Done, r.Body.Left) {
		duty, err := d.Duty(w.Task)
		if err != nil {
			continue // it left the place since
		}
		for _, service := range day.ServicesOf(d.Book, duty) {
			if service.ID > r.ID && service.On >= first && service.On <= last && !signed[service.ID] {
				if err := add(service.ID, 0, w.Title); err != nil {
					return s, err
				}
			}
		}
	}
	slices.SortStableFunc(s.Corrections, func(a, b Correction) int { return cmp.Compare(a.Record, b.Record) })
	return s, nil
}
