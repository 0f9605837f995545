package day

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
)

// dutiesOf returns all tasks of a place's equipment, with what their owner changed.
func dutiesOf(book *record.Book, catalogue *care.Catalogue) []care.Duty {
	equipment := book.Equipment()
	duties := care.Changed(catalogue.Duties(equipment), equipment, book.OwnCare().Body)
	for _, t := range book.AppTasks() {
		i := slices.IndexFunc(equipment, func(e record.Equipment) bool { return e.ID == t.Body.Equipment })
		if i < 0 {
			continue // it left the place
		}
		services := book.Services(t.Body.TaskID())
		last := record.Date(0)
		for _, s := range services {
			last = max(last, s.On)
		}
		duties = append(duties, care.AppDuty(t.Body, t.On, equipment[i], len(services), last))
	}
	return duties
}

// findDuty finds a duty by its id, or by a run of whole parts of it that no
// other duty has.
func findDuty(duties []care.Duty, name string) (care.Duty, error) {
	for i := range duties {
		if duties[i].ID == name {
			return duties[i], nil
		}
	}
	var ids []string
	var found []care.Duty
	for _, d := range duties {
		ids = append(ids, d.ID)
		if d.Called(name) {
			found = append(found, d)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return care.Duty{}, &record.UnknownError{What: "task", Name: name, Known: ids}
	}
	shared := make([]string, len(found))
	for i, d := range found {
		shared[i] = d.ID
	}
	return care.Duty{}, &record.UnknownError{What: "task", Name: name, Known: shared, Many: true}
}

// Services returns the services of a duty, oldest first.
func (d *Day) Services(duty care.Duty) []record.Dated[record.Service] {
	return ServicesOf(d.Book, duty)
}

// ServicesOf gives the services of a duty by which it was done, wholly or in part;
// see HistoryOf.
func ServicesOf(book *record.Book, duty care.Duty) []record.Dated[record.Service] {
	return slices.DeleteFunc(HistoryOf(book, duty), func(s record.Dated[record.Service]) bool { return s.Body.Looked() })
}

// LastService returns the service by which a duty was done last; false where it never
// was.
func LastService(book *record.Book, duty care.Duty) (record.Dated[record.Service], bool) {
	services := ServicesOf(book, duty)
	if len(services) == 0 {
		return record.Dated[record.Service]{}, false
	}
	return services[len(services)-1], true
}

// LastCrust returns the last of some services that found crust or flakes, where nobody
// has since found less or written down work that left nothing. What it left says
// whether any of it is still there.
func LastCrust(services []record.Dated[record.Service]) (record.Dated[record.Service], bool) {
	for _, s := range slices.Backward(services) {
		switch {
		case s.Body.Finding == record.Crust || s.Body.Finding == record.Flakes:
			return s, true
		case s.Body.Finding != "" || s.Body.Left == 0:
			return record.Dated[record.Service]{}, false
		}
	}
	return record.Dated[record.Service]{}, false
}

// HistoryOf gives the services of a duty, those that only looked among them. Those
// from before the part was fresh, bought anew or overhauled, are of another part. A
// water test is its own service: to have written one down is to have done it.
func HistoryOf(book *record.Book, duty care.Duty) []record.Dated[record.Service] {
	if duty.Task.Records != "" {
		return checksOf(book, duty)
	}
	if !duty.Task.TestsWater() {
		services := slices.Clone(book.Services(duty.ID))
		known := knownFrom(duty, len(services) > 0)
		for _, id := range duty.CoveredBy {
			for _, s := range book.Services(id) { // what was found belongs to the other task
				if s.Body.Looked() || s.On < known {
					continue
				}
				services = append(services, record.Dated[record.Service]{ID: s.ID, On: s.On, Body: record.Service{Task: duty.ID}})
			}
		}
		services = slices.DeleteFunc(services, func(s record.Dated[record.Service]) bool { return s.On < duty.Fitted })
		slices.SortStableFunc(services, func(a, b record.Dated[record.Service]) int {
			return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.ID, b.ID))
		})
		return services
	}
	var services []record.Dated[record.Service]
	for _, t := range book.WaterTests(duty.Equipment.ID) {
		if t.Body.After != duty.Part {
			continue // of other water: before the treatment, or behind another stage
		}
		services = append(services, record.Dated[record.Service]{ID: t.ID, On: t.On, Body: record.Service{Task: duty.ID}})
	}
	return services
}

// knownFrom is the first day on which work that counts for a duty as well was the last that was
// done of it. While its past is unknown, and nothing of the duty itself was ever written down,
// other work of then says how long ago that is at most: who wrote down a descaling of a year
// ago may well have refreshed the boiler's water since.
func knownFrom(duty care.Duty, own bool) record.Date {
	if duty.Past.Unknown && !own {
		return duty.Past.Until
	}
	return 0
}

// narrowed is a duty whose unknown past begins with the last work that counted for it.
func narrowed(book *record.Book, duty care.Duty) care.Duty {
	for _, id := range duty.CoveredBy {
		for _, s := range book.Services(id) {
			if !s.Body.Looked() && s.On < knownFrom(duty, len(book.Services(duty.ID)) > 0) {
				duty.Past.From = max(duty.Past.From, s.On)
			}
		}
	}
	return duty
}

// checksOf gives the condition checks that do a duty, as its services.
func checksOf(book *record.Book, duty care.Duty) []record.Dated[record.Service] {
	var services []record.Dated[record.Service]
	for _, c := range book.Checks(duty.Equipment.ID) {
		if string(c.Body.Kind) == string(duty.Task.Records) && (duty.Part == "" || c.Body.Part == duty.Part) && c.On >= duty.Fitted {
			services = append(services, record.Dated[record.Service]{ID: c.ID, On: c.On, Body: record.Service{Task: duty.ID}})
		}
	}
	return services
}

// awake keeps the duties that can fall due on a day: not those switched off,
// and of those that go with a time away only those that have one to wait for.
func (d *Day) awake() []care.Duty {
	return slices.DeleteFunc(slices.Clone(d.Duties), func(duty care.Duty) bool { return d.rests(duty) != "" })
}

// rests says why a duty cannot fall due at all; empty where it can.
func (d *Day) rests(duty care.Duty) string {
	if duty.Off {
		if strings.HasPrefix(duty.Task.ID, record.AppTaskMark) {
			return "it was to be done once, and that is done"
		}
		return say.WithNote("switched off by its owner", duty.Note)
	}
	if duty.Task.ID == care.FirstLook && len(d.Services(duty)) > 0 {
		return "it is done once, and that is done"
	}
	for _, g := range duty.Gauges {
		if !g.Driver.OfAbsence() {
			return ""
		}
		if _, ok := wear.Awaited(g.Driver, g.Limit.Low, absences(d.Book, duty.Equipment.ID), d.Services(duty), d.Today); ok {
			return ""
		}
	}
	frost := ""
	if slices.ContainsFunc(duty.Gauges, func(g care.BoundGauge) bool { return g.Driver == care.BeforeFrost }) {
		frost = " in frost"
	}
	return fmt.Sprintf("no time away%s that asks for it is written down (%s)", frost, d.Quote(schedule.Action{Verb: schedule.AddAway}))
}

// absences gives the times away from a machine.
func absences(book *record.Book, machine string) []wear.Absence {
	var all []wear.Absence
	for _, a := range book.Aways(machine) {
		all = append(all, wear.Absence{From: a.Body.From, To: a.Body.To, Frost: a.Body.Frost})
	}
	return all
}

// NeedsValues tells whether a task is done by writing values down, so that a tick
// says too little.
func NeedsValues(d care.Duty) bool { return d.Task.TestsWater() || d.Task.Records != "" }
