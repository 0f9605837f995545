package placeform

import (
	"fmt"
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/schedule/record"
	"limekeep/water"
)

// Section is a part of what can be said of a place, as a form of its own.
type Section struct {
	Name, Title string
	Says        string // beneath the title; empty for nothing
	fields      func(record.Place) []form.Field
	read        func(*form.Form, *record.Place)
}

// Sections lists the parts of a place in the order in which people look for them.
func Sections() []Section {
	return []Section{
		{"place", "The place", "", placeFields, readPlace},
		{"times", "When you would rather do the work", "Sittings are planned at these times, on the clock of the place. Without any it is Saturdays at ten, two hours.", timesFields, readTimes},
		{"routine", "The routine", "What comes again within days has its own day and minutes, and takes no sitting.", routineFields, readRoutine},
		{"entries", "What the calendar shows", "Of those who subscribe to it, or fetch it as a file.", entriesFields, readEntries},
		{"alarms", "Reminders in the calendar", "An entry with a time reminds you so long before it; an entry for a whole day at an hour of that day or of one before.", alarmsFields, readAlarms},
		{"prices", "Prices", "With these the plan, scale and other waters are told in money as well. Each may be left open.", pricesFields, readPrices},
	}
}

// SectionOf finds a section by its name.
func SectionOf(name string) (Section, bool) {
	all := Sections()
	i := slices.IndexFunc(all, func(s Section) bool { return s.Name == name })
	if i < 0 {
		return Section{}, false
	}
	return all[i], true
}

// Fields returns the fields of the section, filled in as the place is.
func (s Section) Fields(p record.Place) []form.Field { return s.fields(p) }

// Read returns the place with what was filled in. What cannot be read is a problem of
// the form.
func (s Section) Read(filled *form.Form, p record.Place) record.Place {
	s.read(filled, &p)
	return p
}

func placeFields(p record.Place) []form.Field {
	return []form.Field{
		{Name: "place-name", Label: "Name", Kind: form.LineInput, Value: p.Name, Most: 200, About: []string{"place.name"}},
		{Name: "place-zone", Label: "Time zone", Hint: "as in the IANA time zone database, such as Europe/Vienna or Asia/Kolkata", Kind: form.LineInput, Value: p.Zone, Required: true, Example: "Europe/Vienna", About: []string{"place.zone"}},
		{Name: "place-hardness", Label: "Hardness and alkalinity are told in", Hint: "all else is told in litres, degrees Celsius and bar", Kind: form.ChoiceInput, Value: string(p.HardnessUnit), About: []string{"place.hardness_unit"}, Choices: hardnessChoices()},
	}
}

// hardnessChoices lists in what hardness can be told.
func hardnessChoices() []form.Choice {
	names := map[water.Unit]string{
		water.MgPerLCaCO3: "mg/L as CaCO₃", water.PPM: "ppm", water.GermanDegree: "°dH (German degrees)", water.FrenchDegree: "°fH (French degrees)", water.ClarkDegree: "°e (Clark degrees)",
		water.GrainPerGallon: "grains per US gallon", water.MmolPerL: "mmol/L", water.MeqPerL: "meq/L",
	}
	all := []form.Choice{{Label: "mg/L as CaCO₃, with °dH beside it"}}
	for _, u := range record.HardnessUnits() {
		all = append(all, form.Choice{Value: u, Label: names[water.Unit(u)]})
	}
	return all
}

func readPlace(s *form.Form, p *record.Place) {
	p.Name, p.Zone, p.HardnessUnit = s.Text("place-name"), s.Text("place-zone"), water.Unit(s.Text("place-hardness"))
}

// asWritten stands for an expression that says more than can be chosen; it stays.
const asWritten = "as written"

// mostTimes is how many preferred times the form holds.
const mostTimes = 14

func timesFields(p record.Place) []form.Field {
	var fields []form.Field
	for i := range min(len(p.Times)+1, mostTimes) {
		var t record.PreferredTime
		if i < len(p.Times) {
			t = p.Times[i]
		}
		name := func(part string) string { return fmt.Sprintf("times-%d-%s", i, part) }
		days := form.Field{Name: name("days"), Label: "Days", Kind: form.ChoiceInput, Choices: append([]form.Choice{{Label: "no such time"}}, form.WeeklyDays()...)}
		clock := form.Field{Name: name("clock"), Label: "Begins at", Kind: form.TimeInput}
		if w, ok := form.WeeklyOf(t.When); ok {
			days.Value, clock.Value = w.Days, w.Clock
		} else if t.When != "" {
			days.Choices = append(days.Choices, form.Choice{Value: asWritten, Label: "as written: " + t.When})
			days.Value = asWritten
		}
		minutes := form.Field{Name: name("minutes"), Label: "Minutes", Kind: form.NumberInput, Value: plain(t.Minutes)}
		label := fmt.Sprintf("Time %d", i+1)
		if i == len(p.Times) {
			label = "Another time"
		}
		fields = append(fields, form.Field{Label: label, Kind: form.RowInput, Row: []form.Field{days, clock, minutes}})
	}
	return append(fields, form.Field{Name: "times-catch-up", Label: "Minutes a week while catching up", Hint: "at the most, while what is long past is caught up with; open for what is usual", Kind: form.NumberInput,
		Value: plain(p.CatchUpMinutes), About: []string{"place.catch_up_minutes"}})
}

func readTimes(s *form.Form, p *record.Place) {
	was := p.Times
	p.Times = nil
	for i := range mostTimes {
		name := func(part string) string { return fmt.Sprintf("times-%d-%s", i, part) }
		days := s.Text(name("days"))
		if days == "" {
			continue
		}
		t := record.PreferredTime{Minutes: s.Number(name("minutes"))}
		switch {
		case days == asWritten && i < len(was):
			t.When = was[i].When
		default:
			when, ok := form.Weekly{Days: days, Clock: s.Text(name("clock"))}.Cron()
			if !ok {
				s.Wrong(name("clock"), &record.FieldError{Field: "Begins at", Value: s.Text(name("clock")), Want: "a time of day, such as 10:00"})
			}
			t.When = when
		}
		at := fmt.Sprintf("place.preferred_times[%d].", len(p.Times))
		s.Call(name("days"), at+"when")
		s.Call(name("minutes"), at+"minutes")
		p.Times = append(p.Times, t)
	}
	p.CatchUpMinutes = s.Number("times-catch-up")
}

func routineFields(p record.Place) []form.Field {
	w := p.RoutineWish()
	day := form.Field{Name: "routine-weekday", Label: "Day of the weekly round", Kind: form.ChoiceInput, Value: string(w.Weekday), About: []string{"place.routine.weekday"},
		Choices: []form.Choice{{Label: "whichever lies farthest from the sittings"}}}
	for _, d := range w.Weekday.Choices() {
		day.Choices = append(day.Choices, form.Choice{Value: d, Label: capital(d)})
	}
	return []form.Field{day,
		{Name: "routine-minutes", Label: "Minutes that there are for a round", Hint: "a round that takes longer says so; open for as long as it takes", Kind: form.NumberInput, Value: plain(w.Minutes), About: []string{"place.routine.minutes"}},
	}
}

func readRoutine(s *form.Form, p *record.Place) {
	w := p.RoutineWish()
	w.Weekday, w.Minutes = record.Weekday(s.Text("routine-weekday")), s.Number("routine-minutes")
	p.Routine = nothingAsNil(w)
}

// What the calendar has an entry for.
const (
	forSittings = "sittings"
	forTasks    = "tasks"
)

func entriesFields(p record.Place) []form.Field {
	entries := forSittings
	if p.SingleEntries {
		entries = forTasks
	}
	done := ""
	if p.DoneDays != nil {
		done = fmt.Sprint(p.DaysDone())
	}
	return []form.Field{
		{Name: "entries-of", Label: "An entry for", Kind: form.ChoiceInput, Value: entries, About: []string{"place.single_entries"}, Choices: []form.Choice{
			{Value: forSittings, Label: "each sitting, with its timetable"}, {Value: forTasks, Label: "each task by itself"},
		}},
		{Name: "entries-routine", Label: "Each round of the routine as an entry that recurs", Hint: "else task apps and these pages alone have it", Kind: form.BoxInput, Value: yes(p.RoutineWish().InCalendar)},
		{Name: "entries-done", Label: "Days that what was done stays in the calendar", Hint: fmt.Sprintf("0 for not at all; %d where left open", record.UsualDoneDays), Kind: form.NumberInput, Value: done, About: []string{"place.done_days"}},
	}
}

func readEntries(s *form.Form, p *record.Place) {
	p.SingleEntries = s.Text("entries-of") == forTasks
	w := p.RoutineWish()
	w.InCalendar = s.Ticked("entries-routine")
	p.Routine = nothingAsNil(w)
	p.DoneDays = nil
	if s.Text("entries-done") != "" {
		days := s.Number("entries-done")
		p.DoneDays = &days
	}
}

func pricesFields(p record.Place) []form.Field {
	c := p.Costs()
	return []form.Field{
		{Name: "prices-currency", Label: "Currency", Hint: "such as EUR; it is written behind each amount", Kind: form.LineInput, Value: c.Currency, Most: 8, About: []string{"place.prices.currency"}},
		{Name: "prices-hour", Label: "An hour of your own work", Kind: form.NumberInput, Value: plain(c.Hour), About: []string{"place.prices.hour"}},
		{Name: "prices-kilowatt-hour", Label: "A kilowatt-hour of electricity", Kind: form.NumberInput, Value: plain(c.KilowattHour), About: []string{"place.prices.kilowatt_hour"}},
		{Name: "prices-cartridge", Label: "A cartridge", Kind: form.NumberInput, Value: plain(c.Cartridge), About: []string{"place.prices.cartridge"}},
	}
}

func readPrices(s *form.Form, p *record.Place) {
	p.Prices = nothingAsNil(record.Prices{Currency: s.Text("prices-currency"), Hour: s.Number("prices-hour"), KilowattHour: s.Number("prices-kilowatt-hour"), Cartridge: s.Number("prices-cartridge")})
}

// nothingAsNil returns nil for what says nothing.
func nothingAsNil[T comparable](said T) *T {
	var nothing T
	if said == nothing {
		return nil
	}
	return &said
}
