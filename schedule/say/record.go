package say

import (
	"cmp"
	"fmt"
	"strings"

	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// EquipmentKind returns what kind of equipment a piece is.
func EquipmentKind(e record.Equipment) string {
	switch {
	case e.Machine != nil:
		return "machine"
	case e.Grinder != nil:
		return "grinder"
	case e.Tools != nil:
		return "tools"
	}
	return "water line"
}

// Stock puts a count, a delivery or a lead time in a few words.
func Stock(s record.Stock) string {
	switch {
	case s.Count != nil:
		return fmt.Sprintf("%s: %s counted", s.Item, figure.Rough(*s.Count))
	case s.LeadDays != nil:
		return fmt.Sprintf("%s: an order takes %s days", s.Item, figure.Rough(*s.LeadDays))
	}
	return fmt.Sprintf("%s: %s came", s.Item, figure.Rough(s.Came))
}

// Record puts a record in a few words.
func Record(body record.Body) string {
	switch b := body.(type) {
	case record.Place:
		return fmt.Sprintf("%s, %s", cmp.Or(b.Name, b.ID), b.Zone)
	case record.Equipment:
		return fmt.Sprintf("%s: %s, %s", b.ID, EquipmentKind(b), b.Title())
	case record.Retired:
		return b.Equipment + " left the place"
	case record.WaterTest:
		return waterTest(b)
	case record.UseBatch:
		text := fmt.Sprintf("%s: %s", b.Machine, Count(b.Rows, "row"))
		if b.From != b.To {
			text += fmt.Sprintf(", %s to %s", b.From, b.To)
		}
		if b.File != "" {
			text += ", from " + OneLine(b.File)
		}
		return WithNote(text, b.Note)
	case record.Service:
		text := b.Task
		if b.Finding != "" {
			text += ", found " + string(b.Finding)
		}
		if b.Grams > 0 {
			text += fmt.Sprintf(", %s g", figure.Exact(b.Grams))
		}
		if b.Looked() {
			text += ", only looked at"
		} else if b.Left > 0 {
			text += ", " + figure.Percent(b.Left) + " left"
		}
		return WithNote(text, b.Note)
	case record.Measurement:
		return Measurement(b)
	case record.OwnCare:
		var own []string
		if n := len(b.Changes); n > 0 {
			own = append(own, Count(n, "change"))
		}
		if n := len(b.Tasks); n > 0 {
			own = append(own, Count(n, "task"))
		}
		if len(own) == 0 {
			return "the care catalogue as it comes"
		}
		return "the care catalogue: " + strings.Join(own, ", ") + " of your own"
	case record.Void:
		return WithNote(fmt.Sprintf("record %d is void", b.Record), b.Why)
	case record.Pin:
		switch {
		case b.On != 0:
			return WithNote(fmt.Sprintf("%s on %s", b.Task, b.On), b.Note)
		case b.After != 0:
			return WithNote(fmt.Sprintf("%s not before the day after %s", b.Task, b.After), b.Note)
		}
		return WithNote(b.Task+" wherever the plan puts it", b.Note)
	case record.Blocked:
		return WithNote(fmt.Sprintf("no sittings from %s to %s", b.From, b.To), b.Note)
	case record.Stock:
		return Stock(b)
	case record.AppTask:
		text := fmt.Sprintf("%q from a task app, for %s, due %s", b.Title, b.Equipment, b.Due)
		if b.EveryDays > 0 {
			text += fmt.Sprintf(", then every %s days", figure.Exact(b.EveryDays))
		}
		if b.Times > 0 {
			text += fmt.Sprintf(", %d times in all", b.Times)
		}
		if b.Until > 0 {
			text += fmt.Sprintf(", until %s", b.Until)
		}
		if b.Dropped {
			text = fmt.Sprintf("%q from a task app was deleted there", b.Title)
		}
		return text
	case record.BookedVisit:
		return BookedVisit(b)
	case record.ServiceReport:
		return WithNote(fmt.Sprintf("report of %s done, signed by %s", Count(len(b.Done), "task"), OneLine(b.SignedBy)), b.Note)
	case record.Publication:
		return "plan with " + Count(len(b.Entries), "date")
	case record.Away, record.Guests, record.MeterReading, record.Bag, record.HotHours:
		return use(b)
	}
	return string(record.Entry{Body: body}.Kind())
}

// BookedVisit says when who comes and for what.
func BookedVisit(v record.BookedVisit) string {
	tasks := make([]string, len(v.Tasks))
	for i, t := range v.Tasks {
		tasks[i] = t.Task
	}
	text := fmt.Sprintf("visit on %s at %s", v.On, v.At)
	if v.By != "" {
		text += " by " + OneLine(v.By)
	}
	text += ": " + strings.Join(tasks, "; ")
	if v.First != 0 {
		text += fmt.Sprintf(", moved; booked first as record %d", v.First)
	}
	return WithNote(text, v.Note)
}

func waterTest(t record.WaterTest) string {
	var values []string
	for _, v := range t.Test.Values {
		values = append(values, Measured(v))
	}
	of := t.Line
	if t.District != "" {
		of = "water of the district " + t.District
	}
	text := of + ": " + strings.Join(values, ", ")
	if t.After != "" {
		text += ", behind " + t.After
	}
	return WithNote(text, t.Note)
}

// Measured tells a measured value: its quantity, its number and its unit. A pH is
// written as it always is, and its scale goes without saying.
func Measured(v water.Measured) string {
	if v.Quantity == water.PH {
		return "pH " + figure.Exact(v.Value)
	}
	return fmt.Sprintf("%s %s %s", v.Quantity, figure.Exact(v.Value), v.Unit)
}

// Found puts in words what a service found, or a check or test read.
func Found(body record.Body) string {
	service, ok := body.(record.Service)
	if !ok {
		return UpperFirst(Record(body)) + "."
	}
	var parts []string
	if service.Finding != "" {
		parts = append(parts, "found "+string(service.Finding))
	}
	if service.Grams > 0 {
		parts = append(parts, figure.Exact(service.Grams)+" g came off")
	}
	if service.Looked() {
		parts = append(parts, "only looked at")
	} else if service.Left > 0 {
		parts = append(parts, figure.Percent(service.Left)+" left")
	}
	if service.Note != "" {
		parts = append(parts, OneLine(service.Note))
	}
	if len(parts) == 0 {
		return "Nothing was noted."
	}
	return UpperFirst(strings.Join(parts, ", ")) + "."
}
