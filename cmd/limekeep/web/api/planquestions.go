package api

import (
	"context"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// usedBy is asked about the use of a machine over time.
type usedBy struct {
	Machine string `query:"machine" doc:"Id; may be left out where the place has just one"`
	By      string `query:"by" enum:"day,week,month" doc:"By week where left out"`
	From    string `query:"from" format:"date" doc:"Some weeks ago where left out"`
	To      string `query:"to" format:"date" doc:"Today where left out"`
}

// movedTo is asked about a task, and what another day would risk.
type movedTo struct {
	Task string `query:"task" required:"true" doc:"Id of the task, or as much of it as no other shares" example:"machine/descale/steam"`
	Day  string `query:"day" format:"date" doc:"A day to move its next turn to; nothing is moved by asking"`
}

// PositionAnswer is where the next turn of a task stands in the plan.
type PositionAnswer struct {
	Position day.Position `json:"position"`
	IfMoved  *day.Moved   `json:"if_moved" doc:"What the day that was asked about would risk; null where none was"`
}

// BlockedDays are days on which no sitting is planned.
type BlockedDays struct {
	Record int64       `json:"record"`
	From   record.Date `json:"from" format:"date"`
	To     record.Date `json:"to" format:"date"`
	Note   string      `json:"note"`
}

// planQuestions are about use, stock, checks and days.
func (s *Server) planQuestions(api huma.API) {
	ask(s, api, "use", "/use", "What was drawn over time, what it rests on, and what is to come", func(_ context.Context, f *day.Forecast, in *usedBy) (day.UseShow, error) {
		q := day.UseQuery{Machine: in.Machine, By: day.Period(in.By)}
		var err error
		if q.From, err = dayOf("from", in.From); err != nil {
			return day.UseShow{}, err
		}
		if q.To, err = dayOf("to", in.To); err != nil {
			return day.UseShow{}, err
		}
		return f.Day.ShowUse(q)
	})
	ask(s, api, "stock", "/stock", "What is in the cupboard, when it is needed, and by when to order", func(_ context.Context, f *day.Forecast, _ *nothing) ([]day.StockInfo, error) {
		return nonNil(f.Stock()), nil
	})
	ask(s, api, "conditions", "/conditions", "What the readings of condition checks say, gauge by gauge", func(_ context.Context, f *day.Forecast, _ *nothing) ([]day.ConditionInfo, error) {
		return nonNil(f.Conditions().All()), nil
	})
	ask(s, api, "aways", "/aways", "Times away of the place and of each machine", func(_ context.Context, f *day.Forecast, _ *nothing) ([]day.AwayLine, error) {
		return nonNil(f.Day.Aways()), nil
	})
	ask(s, api, "blocked-days", "/blocked-days", "Days that the owner keeps free of sittings", func(_ context.Context, f *day.Forecast, _ *nothing) ([]BlockedDays, error) {
		all := []BlockedDays{}
		for _, b := range f.Day.Book.Blocked() {
			all = append(all, BlockedDays{b.ID, b.Body.From, b.Body.To, b.Body.Note})
		}
		return all, nil
	})
	ask(s, api, "position", "/position", "Where the next turn of a task stands in the plan, and what another day would risk", func(_ context.Context, f *day.Forecast, in *movedTo) (PositionAnswer, error) {
		position, err := f.Positions().Of(in.Task, 0)
		if err != nil {
			return PositionAnswer{}, err
		}
		a := PositionAnswer{Position: position}
		to, err := dayOf("day", in.Day)
		if err != nil || to.IsZero() {
			return a, err
		}
		moved, err := f.Positions().IfMoved(in.Task, to)
		a.IfMoved = &moved
		return a, err
	})
}

// dayOf reads a day of an address; zero for none.
func dayOf(name, text string) (record.Date, error) {
	if text == "" {
		return 0, nil
	}
	on, err := record.ParseDate(text)
	if err != nil {
		return 0, &record.FieldError{Field: name, Value: text, Want: "a day, such as 2026-03-31"}
	}
	return on, nil
}
