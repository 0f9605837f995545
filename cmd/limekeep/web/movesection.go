package web

import (
	"net/http"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// moveSection is the part of a task's page that moves its next turn.
type moveSection struct {
	day.Position
	Action string
	Token  string
	Day    form.Form // that asks what a day would risk

	If *moveAsked // the day that was asked about; nil for none
}

// moveAsked is what another day would risk, with the form that moves the task there.
type moveAsked struct {
	day.Moved
	Token string
}

// moveSection returns the part of a task's page about moving it; nil where it gets no
// sittings.
func (h taskPages) moveSection(f *day.Forecast, task string) (*moveSection, error) {
	position, err := f.Positions().Of(task, 0)
	if err != nil || !position.Movable {
		return nil, err
	}
	action := "/tasks/" + position.Task + "/move"
	return &moveSection{Position: position, Action: action, Token: h.tokens.Draw(), Day: form.Form{
		Action: "/tasks/" + position.Task + "#move", Button: wording.WhatWouldThatRisk, Quiet: true, Asks: true,
		Fields: []form.Field{
			{Name: "day", Label: wording.AnotherDay, Hint: wording.AlsoWhereItIsNoPreferredTime, Kind: form.DateInput, Required: true,
				Example: position.Last.String(), About: []string{"date", "pin"}},
		},
	}}, nil
}

// askMove says what the day in an address would risk; nothing is moved by it.
func (h taskPages) askMove(r *http.Request, f *day.Forecast, p *taskPage) {
	asked := r.URL.Query().Get("day")
	if p.Move == nil || asked == "" {
		return
	}
	s := &p.Move.Day
	s.Fill(r.URL.Query())
	to := s.Date("day")
	if len(s.Problems()) == 0 {
		moved, err := f.Positions().IfMoved(p.Due.Task, to)
		if err != nil {
			s.Blame(err)
		} else {
			p.Move.If = &moveAsked{moved, h.tokens.Draw()}
		}
	}
	p.Problems = s.Problems()
}

// moveTask takes the forms that move the next turn of a task.
func (h taskPages) moveTask(w http.ResponseWriter, r *http.Request, id string) {
	filled, opened, p, ok := h.sentToTask(w, r, id)
	if !ok {
		return
	}
	if p.Move == nil {
		h.message(w, r, http.StatusUnprocessableEntity, wording.ThatCannotBeTaken, wording.NoSittingToMove)
		return
	}
	s := &p.Move.Day
	move, to := day.Move(filled.Get("move")), record.Date(0)
	switch move {
	case day.MoveTo:
		s.Fill(filled)
		to = s.Date("day")
	case day.MoveNext, day.MoveSkip, day.MoveFix, day.MoveFree:
	default:
		s.Wrong("", &record.FieldError{Field: "move", Value: string(move), Want: wording.OneOfTheMovesOnThisPage})
	}
	before := ""
	if p.Move.On != nil {
		before = p.Move.On.String()
	}
	taken, err := h.takeOnce(w, r, s, filled, func() (int64, error) {
		by, err := h.foreseeOn(r.Context(), opened)
		if err != nil {
			return 0, err
		}
		return h.journalOf(r.Context()).Pin(r.Context(), opened, by, p.Due.Task, move, to)
	}, "/tasks/"+p.Due.Task, "before", before)
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		h.correctTask(w, r, opened, p, s.Problems())
	}
}
