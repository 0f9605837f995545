package schedule

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// duties gives all tasks of a place's equipment, with what their owner changed.
func (d *Desk) duties(book *record.Book) []care.Duty {
	equipment := book.Equipment()
	duties := care.Changed(d.Catalogue.Duties(equipment), equipment, book.OwnCare().Body)
	for _, t := range book.AppTasks() {
		i := slices.IndexFunc(equipment, func(e record.Equipment) bool { return e.ID == t.Body.Equipment })
		if i < 0 {
			continue // it left the place
		}
		done := len(book.Services(appTaskID(t.Body))) > 0
		duties = append(duties, care.AppDuty(t.Body, t.On, equipment[i], done))
	}
	return duties
}

// awake keeps the duties that can fall due on a day: not those switched off,
// and of those that go with a time away only those that have one to wait for.
func awake(duties []care.Duty, book *record.Book, today record.Date) []care.Duty {
	return slices.DeleteFunc(slices.Clone(duties), func(d care.Duty) bool { return rests(d, book, today) != "" })
}

// rests says why a duty cannot fall due at all; empty where it can.
func rests(d care.Duty, book *record.Book, today record.Date) string {
	if d.Off {
		if strings.HasPrefix(d.Task.ID, appTaskMark) {
			return "it was to be done once, and that is done"
		}
		return withNote("switched off in the place file", d.Note)
	}
	for _, g := range d.Gauges {
		if !g.Driver.OfAbsence() {
			return ""
		}
		if _, ok := wear.Awaited(g.Driver, g.Limit.Low, absences(book, d.Equipment.ID), servicesOf(book, d), today); ok {
			return ""
		}
	}
	frost := ""
	if slices.ContainsFunc(d.Gauges, func(g care.BoundGauge) bool { return g.Driver == care.BeforeFrost }) {
		frost = " in frost"
	}
	return fmt.Sprintf("no time away%s that asks for it is written down (`limekeep away add`)", frost)
}

// absences gives the times away from a machine.
func absences(book *record.Book, machine string) []wear.Absence {
	var all []wear.Absence
	for _, a := range book.Aways(machine) {
		all = append(all, wear.Absence{From: a.Body.From, To: a.Body.To, Frost: a.Body.Frost})
	}
	return all
}

// changeSentences says what the owner changed of a duty, and what would stand
// there otherwise.
func changeSentences(d care.Duty, since record.Date) []string {
	var says []string
	switch {
	case d.Own && strings.HasPrefix(d.Task.ID, appTaskMark):
		says = append(says, "This is a task of your own, from a task app.")
	case d.Own:
		says = append(says, "This is a task of your own, from the place file"+withNote("", d.Note)+".")
	}
	for _, g := range d.Gauges {
		if g.Instead == "" {
			continue
		}
		var was []string
		for _, r := range g.Replaced {
			was = append(was, fmt.Sprintf("%s, %s (%s to %s)", r.Gauge, amount(r.Limit.Usual, r.Unit), bare(r.Limit.Low, r.Unit), bare(r.Limit.High, r.Unit)))
		}
		says = append(says, fmt.Sprintf("By your place file of %s, %s figure of %s stands instead of the catalogue's: %s%s.",
			since.Long(), g.Instead, amount(g.Limit.Usual, g.Gauge.Unit), strings.Join(was, "; "), withNote("", d.Note)))
	}
	return says
}
