package record

import (
	"time"

	"github.com/robfig/cron/v3"

	"limekeep/water"
)

// Place is a kitchen, bar or workshop: where the equipment stands, which clock
// hangs there and when its owner would rather do the work.
type Place struct {
	ID    string          `json:"id"`
	Name  string          `json:"name"`
	Zone  string          `json:"zone"` // name in the IANA time zone database
	Times []PreferredTime `json:"preferred_times,omitempty"`

	Group    string `json:"group,omitempty"`          // the chain or the customer that it belongs to; empty for none
	Address  string `json:"address,omitempty"`        // where it is, for whoever goes there
	District string `json:"water_district,omitempty"` // id of the main that its water comes from, which it shares with other places; empty for one of its own

	// CatchUpMinutes is how long the sittings of a week may be, all in all, while
	// what is long past is caught up with: 30 to 3,000; 0 for what is usual.
	CatchUpMinutes float64 `json:"catch_up_minutes,omitempty"`

	Alarms *Alarms `json:"alarms,omitempty"` // UsualAlarms where nil

	// SingleEntries has the calendar show an entry for each task, where it would
	// else show one for each sitting.
	SingleEntries bool `json:"single_entries,omitempty"`

	// DoneDays is for how many days the calendar keeps what was done: 0 to 3,660;
	// UsualDoneDays where nil.
	DoneDays *float64 `json:"done_days,omitempty"`

	// HardnessUnit is in which hardness and alkalinity are told; mg/L as CaCO3, with
	// German degrees beside it, where empty.
	HardnessUnit water.Unit `json:"hardness_unit,omitempty"`

	// Units is in what volumes and temperatures are told on pages; Metric where empty.
	Units Units `json:"units,omitempty"`

	Routine *RoutineWishes `json:"routine,omitempty"` // nil where nothing is wished
	Prices  *Prices        `json:"prices,omitempty"`  // nil where nothing is answered in money
}

// PreferredTime is a time of the week at which the owner would do the work,
// and how long there is.
type PreferredTime struct {
	When    string  `json:"when"`    // cron expression of five fields: minute hour day month weekday
	Minutes float64 `json:"minutes"` // 15 to 600
}

// Location returns the place's time zone.
func (p Place) Location() (*time.Location, error) {
	zone, err := time.LoadLocation(p.Zone)
	if err != nil || p.Zone == "" || p.Zone == "Local" {
		return nil, &FieldError{Field: "zone", Value: p.Zone, Want: "a time zone of the IANA database, such as Europe/Vienna or Asia/Kolkata"}
	}
	return zone, nil
}

// Validate checks what a person wrote of a place.
func (p Place) Validate() error {
	_, zone := p.Location()
	return AllOf(
		identifier("id", p.ID),
		name("name", p.Name, 200),
		zone,
		name("group", p.Group, 100),
		name("address", p.Address, 300),
		where(p.District != "", identifier("water_district", p.District)),
		each("preferred_times", p.Times, func(t PreferredTime, _ []PreferredTime) error { return t.Validate() }),
		optional("catch_up_minutes", p.CatchUpMinutes, 30, 3000, "minutes a week"),
		within("alarms", p.Reminders().Validate()),
		between("done_days", float64(p.DaysDone()), 0, 3660, "days"),
		optionalChoice("hardness_unit", string(p.HardnessUnit), HardnessUnits()),
		optionalChoice("units", string(p.Units), p.Units.Choices()),
		within("routine", p.RoutineWish().Validate()),
		within("prices", p.Costs().Validate()),
	)
}

// HardnessUnits lists in what hardness can be told.
func HardnessUnits() []string {
	var all []string
	for _, u := range []water.Unit{water.MgPerLCaCO3, water.PPM, water.GermanDegree, water.FrenchDegree, water.ClarkDegree, water.GrainPerGallon, water.MmolPerL, water.MeqPerL} {
		all = append(all, string(u))
	}
	return all
}

// UsualDoneDays is for how long a calendar keeps what was done where its owner
// said nothing.
const UsualDoneDays = 365

// DaysDone returns for how many days the calendar keeps what was done.
func (p Place) DaysDone() int {
	if p.DoneDays == nil {
		return UsualDoneDays
	}
	return int(*p.DoneDays)
}

// Reminders returns the alarms of the place's calendar.
func (p Place) Reminders() Alarms {
	if p.Alarms == nil {
		return UsualAlarms()
	}
	return *p.Alarms
}

// Schedule reads the cron expression. Only the five standard fields are taken:
// a zone or an "@every" inside one would fight with the place's own clock.
func (t PreferredTime) Schedule() (cron.Schedule, error) {
	parser := cron.NewParser(cron.Minute | cron.Hour | cron.Dom | cron.Month | cron.Dow)
	bad := &FieldError{Field: "when", Value: t.When, Want: `five cron fields, minute hour day month weekday, such as "0 10 * * SAT"`}
	if len(t.When) > 100 || len(t.When) > 2 && (t.When[:2] == "TZ" || t.When[:2] == "CR") {
		return nil, bad
	}
	schedule, err := parser.Parse(t.When)
	if err != nil {
		return nil, bad
	}
	return schedule, nil
}

// Validate checks the expression and the length.
func (t PreferredTime) Validate() error {
	_, when := t.Schedule()
	return AllOf(when, between("minutes", t.Minutes, 15, 600, "minutes"))
}

func (Place) kind() Kind { return KindPlace }
