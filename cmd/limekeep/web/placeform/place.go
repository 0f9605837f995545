package placeform

import (
	"cmp"
	"fmt"
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
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
		{"place", wording.ThePlace, "", placeFields, readPlace},
		{"times", wording.WhenYouWouldRatherDoTheWork, wording.PreferredTimesMean, timesFields, readTimes},
		{"routine", wording.TheRoutine, wording.RoutineMeans, routineFields, readRoutine},
		{"entries", wording.WhatTheCalendarShows, wording.WhoseCalendar, entriesFields, readEntries},
		{"alarms", wording.RemindersInTheCalendar, wording.RemindersMean, alarmsFields, readAlarms},
		{"prices", wording.Prices, wording.PricesMean, pricesFields, readPrices},
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
		{Name: "place-name", Label: wording.Name, Kind: form.LineInput, Value: p.Name, Most: 200, About: []string{"place.name"}},
		{Name: "place-zone", Label: wording.TimeZone, Hint: wording.TimeZoneHint, Kind: form.LineInput, Value: p.Zone, Required: true, Example: "Europe/Vienna", About: []string{"place.zone"}},
		{Name: "place-group", Label: wording.PlaceGroup, Hint: wording.PlaceGroupHint, Kind: form.LineInput, Value: p.Group, Most: 100, About: []string{"place.group"}},
		{Name: "place-address", Label: wording.PlaceAddress, Hint: wording.PlaceAddressHint, Kind: form.LineInput, Value: p.Address, Most: 300, About: []string{"place.address"}},
		{Name: "place-district", Label: wording.WaterDistrict, Hint: wording.WaterDistrictHint, Kind: form.LineInput, Value: p.District, Most: 40, Example: "graz-west", About: []string{"place.water_district"}},
		{Name: "place-hardness", Label: wording.HardnessAndAlkalinityAreToldIn, Kind: form.ChoiceInput, Value: string(p.HardnessUnit), About: []string{"place.hardness_unit"}, Choices: hardnessChoices()},
		{Name: "place-units", Label: wording.VolumesAndTemperaturesAreToldIn, Hint: wording.UnitsHint, Kind: form.ChoiceInput, Value: string(cmp.Or(p.Units, record.Metric)), About: []string{"place.units"}, Choices: []form.Choice{
			{Value: string(record.Metric), Label: wording.LitresAndCelsius}, {Value: string(record.USCustomary), Label: wording.GallonsAndFahrenheit},
		}},
	}
}

// hardnessChoices lists in what hardness can be told.
func hardnessChoices() []form.Choice {
	names := map[water.Unit]string{
		water.MgPerLCaCO3: wording.MgPerLAsCaCO3, water.PPM: "ppm", water.GermanDegree: wording.GermanDegrees, water.FrenchDegree: wording.FrenchDegrees, water.ClarkDegree: wording.ClarkDegrees,
		water.GrainPerGallon: wording.GrainsPerUSGallon, water.MmolPerL: "mmol/L", water.MeqPerL: "meq/L",
	}
	all := []form.Choice{{Label: wording.MgPerLAsCaCO3WithGermanDegrees}}
	for _, u := range record.HardnessUnits() {
		all = append(all, form.Choice{Value: u, Label: names[water.Unit(u)]})
	}
	return all
}

func readPlace(s *form.Form, p *record.Place) {
	p.Name, p.Zone, p.HardnessUnit = s.Text("place-name"), s.Text("place-zone"), water.Unit(s.Text("place-hardness"))
	if units := record.Units(s.Text("place-units")); units != cmp.Or(p.Units, record.Metric) {
		p.Units = units
	}
	p.Group, p.Address, p.District = s.Text("place-group"), s.Text("place-address"), s.Text("place-district")
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
		days := form.Field{Name: name("days"), Label: wording.Days, Kind: form.ChoiceInput, Choices: append([]form.Choice{{Label: wording.NoSuchTime}}, form.WeeklyDays()...)}
		clock := form.Field{Name: name("clock"), Label: wording.BeginsAt, Kind: form.TimeInput}
		if w, ok := form.WeeklyOf(t.When); ok {
			days.Value, clock.Value = w.Days, w.Clock
		} else if t.When != "" {
			days.Choices = append(days.Choices, form.Choice{Value: asWritten, Label: wording.AsWrittenText(t.When)})
			days.Value = asWritten
		}
		minutes := form.Field{Name: name("minutes"), Label: wording.Minutes, Kind: form.NumberInput, Value: plain(t.Minutes)}
		label := wording.PreferredTime(i + 1)
		if i == len(p.Times) {
			label = wording.AnotherTime
		}
		fields = append(fields, form.Field{Label: label, Kind: form.RowInput, Row: []form.Field{days, clock, minutes}})
	}
	return append(fields, form.Field{Name: "times-catch-up", Label: wording.MinutesAWeekWhileCatchingUp, Hint: wording.CatchingUpHint, Kind: form.NumberInput,
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
				s.Wrong(name("clock"), &record.FieldError{Field: wording.BeginsAt, Value: s.Text(name("clock")), Want: wording.ATimeOfDaySuchAsTen})
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
	day := form.Field{Name: "routine-weekday", Label: wording.DayOfTheWeeklyRound, Kind: form.ChoiceInput, Value: string(w.Weekday), About: []string{"place.routine.weekday"},
		Choices: []form.Choice{{Label: wording.WhicheverLiesFarthestFromTheSittings}}}
	for _, d := range w.Weekday.Choices() {
		day.Choices = append(day.Choices, form.Choice{Value: d, Label: capital(d)})
	}
	return []form.Field{day,
		{Name: "routine-minutes", Label: wording.MinutesThatThereAreForARound, Hint: wording.RoundMinutesHint, Kind: form.NumberInput, Value: plain(w.Minutes), About: []string{"place.routine.minutes"}},
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
		{Name: "entries-of", Label: wording.AnEntryFor, Kind: form.ChoiceInput, Value: entries, About: []string{"place.single_entries"}, Choices: []form.Choice{
			{Value: forSittings, Label: wording.EachSittingWithItsTimetable}, {Value: forTasks, Label: wording.EachTaskByItself},
		}},
		{Name: "entries-routine", Label: wording.RoutineInCalendar, Hint: wording.RoutineInCalendarHint, Kind: form.BoxInput, Value: yes(p.RoutineWish().InCalendar)},
		{Name: "entries-done", Label: wording.DaysDoneStays, Hint: wording.DaysDoneHint(record.UsualDoneDays), Kind: form.NumberInput, Value: done, About: []string{"place.done_days"}},
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
		{Name: "prices-currency", Label: wording.Currency, Hint: wording.CurrencyHint, Kind: form.LineInput, Value: c.Currency, Most: 8, About: []string{"place.prices.currency"}},
		{Name: "prices-hour", Label: wording.AnHourOfYourOwnWork, Kind: form.NumberInput, Value: plain(c.Hour), About: []string{"place.prices.hour"}},
		{Name: "prices-kilowatt-hour", Label: wording.AKilowattHourOfElectricity, Kind: form.NumberInput, Value: plain(c.KilowattHour), About: []string{"place.prices.kilowatt_hour"}},
		{Name: "prices-cartridge", Label: wording.ACartridge, Kind: form.NumberInput, Value: plain(c.Cartridge), About: []string{"place.prices.cartridge"}},
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
