package api

import (
	"context"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// VisitGiven books a visit of somebody who comes.
type VisitGiven struct {
	On      record.Date `json:"on" format:"date"`
	At      string      `json:"at" doc:"Arrival on the place’s clock" example:"09:30"`
	Minutes float64     `json:"minutes" minimum:"1" doc:"There, from arriving to leaving"`
	By      string      `json:"by,omitempty" doc:"Who comes"`
	Tasks   []string    `json:"tasks" minItems:"1" doc:"Ids of the tasks, each whole or as much of it as no other shares; what counts with one is booked with it"`
	Note    string      `json:"note,omitempty"`
}

// VisitMoved puts a visit on another day or at another time.
type VisitMoved struct {
	Record  int64       `json:"record" doc:"Of the visit"`
	On      record.Date `json:"on" format:"date"`
	At      string      `json:"at" example:"09:30"`
	Minutes float64     `json:"minutes,omitempty" minimum:"0" doc:"As before where left out"`
}

// VisitWithdrawn says that nobody comes.
type VisitWithdrawn struct {
	Record int64  `json:"record" doc:"Of the visit"`
	Why    string `json:"why,omitempty"`
}

// visitAsked is asked about what another day of a visit would risk.
type visitAsked struct {
	Record int64  `query:"record" required:"true" doc:"Of the visit"`
	Day    string `query:"day" format:"date" doc:"The other day; where left out, four weeks after its own, as if it were withdrawn"`
}

// visits are about visits that were booked, and reports that were signed.
func (s *Server) visits(api huma.API) {
	ask(s, api, "visits", "/visits", "Visits that were booked and are not done, those missed among them", func(ctx context.Context, f *day.Forecast, _ *nothing) ([]day.BookedInfo, error) {
		d, err := s.Open(ctx)
		if err != nil {
			return nil, err
		}
		return f.Visits().On(d), nil
	})
	ask(s, api, "visit-risk", "/visits/risk", "What another day of a visit would risk, or withdrawing it; nothing is moved by asking", func(ctx context.Context, f *day.Forecast, in *visitAsked) (day.VisitRisk, error) {
		d, err := s.Open(ctx)
		if err != nil {
			return day.VisitRisk{}, err
		}
		visit, err := d.BookedVisit(in.Record)
		if err != nil {
			return day.VisitRisk{}, err
		}
		to, err := dayOf("day", in.Day)
		if err != nil {
			return day.VisitRisk{}, err
		}
		if to.IsZero() {
			return f.Visits().IfWithdrawn(visit)
		}
		return f.Visits().IfMoved(visit, to)
	})
	take(s, api, "book-visit", "/visits", "Book a visit: somebody comes to do some tasks", func(ctx context.Context, d *day.Day, in VisitGiven) (int64, error) {
		by, err := s.Foresee(ctx)
		if err != nil {
			return 0, err
		}
		v := record.BookedVisit{On: in.On, At: in.At, Minutes: in.Minutes, By: in.By, Note: in.Note}
		for _, task := range in.Tasks {
			v.Tasks = append(v.Tasks, record.BookedTask{Task: task})
		}
		written, err := s.Journal.BookVisit(ctx, d, by, v)
		return written.Record, err
	})
	take(s, api, "move-visit", "/visits/moves", "Move a visit; ask /visits/risk first", func(ctx context.Context, d *day.Day, in VisitMoved) (int64, error) {
		by, err := s.Foresee(ctx)
		if err != nil {
			return 0, err
		}
		written, err := s.Journal.MoveVisit(ctx, d, by, in.Record, record.BookedVisit{On: in.On, At: in.At, Minutes: in.Minutes})
		return written.Record, err
	})
	take(s, api, "withdraw-visit", "/visits/withdrawals", "Withdraw a visit; ask /visits/risk first", func(ctx context.Context, d *day.Day, in VisitWithdrawn) (int64, error) {
		written, err := s.Journal.WithdrawVisit(ctx, d, in.Record, in.Why)
		return written.Record, err
	})
	ask(s, api, "service-reports", "/service-reports", "Reports of visits as they were signed, the newest first, with what was put right since", func(ctx context.Context, _ *day.Forecast, _ *nothing) ([]advice.SignedReport, error) {
		d, err := s.Open(ctx)
		if err != nil {
			return nil, err
		}
		return advice.ReportsSigned(ctx, d)
	})
}
