package say

import (
	"slices"

	"limekeep/schedule/record"
)

// Named returns a record with names in the place of ids, for sentences: of tasks and of
// equipment, as name has them for an id.
func Named(body record.Body, name func(id string) string) record.Body {
	if visit, ok := body.(record.BookedVisit); ok {
		visit.Tasks = slices.Clone(visit.Tasks)
		for i := range visit.Tasks {
			visit.Tasks[i].Task = name(visit.Tasks[i].Task)
		}
		return visit
	}
	for _, rename := range []func() bool{
		func() bool { return renamed(&body, func(b *record.Service) *string { return &b.Task }, name) },
		func() bool { return renamed(&body, func(b *record.Pin) *string { return &b.Task }, name) },
		func() bool { return renamed(&body, func(b *record.WaterTest) *string { return &b.Line }, name) },
		func() bool { return renamed(&body, func(b *record.Measurement) *string { return &b.Equipment }, name) },
		func() bool { return renamed(&body, func(b *record.UseBatch) *string { return &b.Machine }, name) },
		func() bool { return renamed(&body, func(b *record.Away) *string { return &b.Machine }, name) },
		func() bool { return renamed(&body, func(b *record.Guests) *string { return &b.Machine }, name) },
		func() bool { return renamed(&body, func(b *record.HotHours) *string { return &b.Machine }, name) },
		func() bool { return renamed(&body, func(b *record.MeterReading) *string { return &b.Line }, name) },
		func() bool { return renamed(&body, func(b *record.Bag) *string { return &b.Grinder }, name) },
		func() bool { return renamed(&body, func(b *record.Retired) *string { return &b.Equipment }, name) },
		func() bool { return renamed(&body, func(b *record.AppTask) *string { return &b.Equipment }, name) },
	} {
		if rename() {
			break
		}
	}
	return body
}

// renamed puts a name in the place of the id that a record of one kind holds; false
// where the record is of another kind.
func renamed[B record.Body](body *record.Body, id func(*B) *string, name func(string) string) bool {
	b, ok := (*body).(B)
	if !ok {
		return false
	}
	if at := id(&b); *at != "" {
		*at = name(*at)
	}
	*body = b
	return true
}

// NoteOf returns what somebody typed beside a record; empty for nothing.
func NoteOf(body record.Body) string {
	switch b := body.(type) {
	case record.Service:
		return b.Note
	case record.Pin:
		return b.Note
	case record.WaterTest:
		return b.Note
	case record.Measurement:
		return b.Note
	case record.UseBatch:
		return b.Note
	case record.Away:
		return b.Note
	case record.Guests:
		return b.Note
	case record.HotHours:
		return b.Note
	case record.MeterReading:
		return b.Note
	case record.Bag:
		return b.Note
	case record.Blocked:
		return b.Note
	case record.BookedVisit:
		return b.Note
	case record.ServiceReport:
		return b.Note
	case record.Void:
		return b.Why
	}
	return ""
}
