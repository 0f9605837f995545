package say

import (
	"fmt"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// useSays puts a record about use in a few words; empty for any other.
func use(body record.Body) string {
	switch b := body.(type) {
	case record.Away:
		return Away(b)
	case record.Guests:
		return Guests(b)
	case record.MeterReading:
		return meter(b)
	case record.Bag:
		return Bag(b)
	case record.HotHours:
		return HotHours(b)
	}
	return ""
}

// Away puts a time away, or a machine switched off, in a few words.
func Away(a record.Away) string {
	text := "away"
	if a.Machine != "" {
		text = a.Machine + " switched off"
	}
	text += " from " + a.From.String()
	if a.To.IsZero() {
		text += " until further notice"
	} else {
		text += " to " + a.To.String()
	}
	if a.Frost {
		text += ", frost possible"
	}
	return WithNote(text, a.Note)
}

// HotHours puts how long a machine was hot in a few words.
func HotHours(h record.HotHours) string {
	return WithNote(fmt.Sprintf("%s hot for %s hours", h.Machine, figure.AtMost(h.Hours, 2)), h.Note)
}

// Guests puts expected visitors in a few words.
func Guests(g record.Guests) string {
	text := fmt.Sprintf("guests from %s to %s: %s shots a day more", g.From, g.To, figure.Rough(g.Shots))
	if g.Machine != "" {
		text += " from " + g.Machine
	}
	return WithNote(text, g.Note)
}

func meter(r record.MeterReading) string {
	text := fmt.Sprintf("%s: meter at %.10g litres", r.Line, r.Litres)
	if r.NewStart != nil {
		text += fmt.Sprintf(", new meter at %.10g", *r.NewStart)
	}
	return WithNote(text, r.Note)
}

// Bag puts a finished bag of coffee in a few words.
func Bag(b record.Bag) string {
	text := fmt.Sprintf("%s: %.10g g of coffee finished", b.Grinder, b.Grams)
	if b.Beans != "" {
		text += ", " + b.Beans
	}
	if !b.Opened.IsZero() {
		text += ", opened " + b.Opened.String()
	}
	return WithNote(text, b.Note)
}
