package placeform

import (
	"fmt"
	"strconv"
	"time"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// Alarms are asked for as people think of them: so long before an entry with a time,
// and for an entry of a whole day at an hour of that day or of one before. Records hold
// how long before the start they go off.

// mostAlarms is how many of each sort there can be.
const mostAlarms = 5

// Units of a time before an entry.
var beforeUnits = []struct {
	value, label string
	length       time.Duration
}{{"d", wording.DaysBefore, 24 * time.Hour}, {"h", wording.HoursBefore, time.Hour}, {"m", wording.MinutesBefore, time.Minute}}

// mostDaysBefore is how many days before a whole day an alarm can be chosen to go off.
const mostDaysBefore = 14

func alarmsFields(p record.Place) []form.Field {
	alarms := p.Reminders()
	var timed, allDay []form.Field
	before := alarms.TimedBefore()
	for i := range min(len(before)+1, mostAlarms) {
		number := form.Field{Name: fmt.Sprintf("timed-%d-number", i), Label: wording.HowLong, Kind: form.NumberInput, About: []string{"place.alarms.timed"}}
		unit := form.Field{Name: fmt.Sprintf("timed-%d-unit", i), Label: wording.In, Kind: form.ChoiceInput, Value: "h"}
		for _, u := range beforeUnits {
			unit.Choices = append(unit.Choices, form.Choice{Value: u.value, Label: u.label})
		}
		if i < len(before) {
			n, u := inUnit(before[i])
			number.Value, unit.Value = strconv.Itoa(n), u
		}
		timed = append(timed, form.Field{Label: nth(wording.Reminder, i, len(before)), Kind: form.RowInput, Row: []form.Field{number, unit}})
	}
	before = alarms.AllDayBefore()
	for i := range min(len(before)+1, mostAlarms) {
		day := form.Field{Name: fmt.Sprintf("all-day-%d-day", i), Label: wording.Day, Kind: form.ChoiceInput, Choices: []form.Choice{{Label: wording.NoReminder}, {Value: "0", Label: wording.OnTheDay}, {Value: "1", Label: wording.OnTheDayBefore}}, About: []string{"place.alarms.all_day"}}
		for n := 2; n <= mostDaysBefore; n++ {
			day.Choices = append(day.Choices, form.Choice{Value: strconv.Itoa(n), Label: wording.SoManyDaysBefore(n)})
		}
		clock := form.Field{Name: fmt.Sprintf("all-day-%d-clock", i), Label: wording.At, Kind: form.TimeInput}
		if i < len(before) {
			day.Value, clock.Value = dayAndClock(before[i])
			if n, err := strconv.Atoi(day.Value); err == nil && n > mostDaysBefore {
				day.Choices = append(day.Choices, form.Choice{Value: day.Value, Label: wording.SoManyDaysBefore(n)})
			}
		}
		allDay = append(allDay, form.Field{Label: nth(wording.Reminder, i, len(before)), Kind: form.RowInput, Row: []form.Field{day, clock}})
	}
	return []form.Field{
		{Label: wording.BeforeAnEntryWithATime, Kind: form.SectionInput, Row: timed},
		{Label: wording.ForAnEntryOfAWholeDay, Kind: form.SectionInput, Row: allDay},
	}
}

func nth(what string, i, all int) string {
	if i == all {
		return wording.Another
	}
	return wording.Numbered(what, i+1)
}

// inUnit writes a time in the largest unit that it is whole in.
func inUnit(d time.Duration) (int, string) {
	for _, u := range beforeUnits {
		if d%u.length == 0 {
			return int(d / u.length), u.value
		}
	}
	return int(d / time.Minute), "m"
}

// dayAndClock says on which day before a whole day, and at what time of it, so long
// before its midnight is.
func dayAndClock(before time.Duration) (day, clock string) {
	const whole = 24 * time.Hour
	days := int((before + whole - time.Minute) / whole)
	if before <= 0 {
		days = 0
	}
	at := time.Duration(days)*whole - before
	return strconv.Itoa(days), fmt.Sprintf("%02d:%02d", int(at/time.Hour), int(at%time.Hour/time.Minute))
}

func readAlarms(s *form.Form, p *record.Place) {
	alarms := record.Alarms{Timed: []string{}, AllDay: []string{}}
	for i := range mostAlarms {
		if name := fmt.Sprintf("timed-%d-number", i); s.Text(name) != "" {
			n := s.Number(name)
			if n != float64(int(n)) || n < 0 || n > 99999 {
				s.Wrong(name, &record.FieldError{Field: wording.HowLong, Value: s.Text(name), Want: wording.AWholeNumberSuchAs2})
				continue
			}
			alarms.Timed = append(alarms.Timed, fmt.Sprintf("%d%s", int(n), s.Text(fmt.Sprintf("timed-%d-unit", i))))
		}
		day, clock := fmt.Sprintf("all-day-%d-day", i), fmt.Sprintf("all-day-%d-clock", i)
		if s.Text(day) == "" {
			continue
		}
		days, err := strconv.Atoi(s.Text(day))
		at, wrong := time.Parse("15:04", s.Text(clock))
		switch {
		case wrong != nil:
			s.Wrong(clock, &record.FieldError{Field: wording.At, Value: s.Text(clock), Want: wording.ATimeOfDaySuchAsSix})
			continue
		case err != nil || days < 0 || days > 28:
			s.Wrong(day, &record.FieldError{Field: wording.Day, Value: s.Text(day), Want: wording.OneOfTheDaysOffered})
			continue
		}
		before := time.Duration(days)*24*time.Hour - time.Duration(at.Hour())*time.Hour - time.Duration(at.Minute())*time.Minute
		n, unit := inUnit(before)
		alarms.AllDay = append(alarms.AllDay, fmt.Sprintf("%d%s", n, unit))
	}
	p.Alarms = &alarms
	if usual := record.UsualAlarms(); len(alarms.AllDay) == 0 && len(alarms.Timed) == 1 && alarms.Timed[0] == usual.Timed[0] {
		p.Alarms = nil
	}
}
