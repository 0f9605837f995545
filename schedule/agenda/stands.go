package agenda

import (
	"limekeep/schedule/day"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// turnOn is a turn of a task by its day: a task has no two on one.
type turnOn struct {
	task string
	on   record.Date
}

// stands are the reasons that entries tell for the days of turns.
type stands struct {
	published, told map[turnOn]plan.Standing
}

func standsOf(book *record.Book) stands {
	s := stands{published: map[turnOn]plan.Standing{}, told: map[turnOn]plan.Standing{}}
	last, _ := book.LastPublication()
	for _, t := range last.Turns {
		if t.Stands > 0 {
			s.published[turnOn{t.Task, t.On}] = plan.Standing(t.Stands - 1)
		}
	}
	return s
}

// reason says why a turn stands on the day of its sitting. What was told of it stays told
// while it stays there: what weighs most changes for little, and nothing has happened then.
// It is told anew where the turn now lies on the other side of its likely day, or where its
// entry tells of another window.
func (a *Agenda) reason(f *day.Forecast, s plan.Sitting, t plan.Turn, anew bool) string {
	at := turnOn{t.Task, s.Date()}
	if was, ok := a.stands.published[at]; ok && !anew && !opposed(was, t.Standing) {
		t.Standing = was
	}
	a.stands.told[at] = t.Standing
	return f.Reason(s, t)
}

// opposed reports whether one of two reasons is for a day before the likely one, and the
// other for one after it.
func opposed(a, b plan.Standing) bool {
	return a.Early() && b.Waits() || a.Waits() && b.Early()
}

// keep notes in turns that are published what was told of them.
func (s stands) keep(turns []record.PublishedTurn) {
	for i := range turns {
		if told, ok := s.told[turnOn{turns[i].Task, turns[i].On}]; ok {
			turns[i].Stands = 1 + int(told)
		}
	}
}
