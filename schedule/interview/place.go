package interview

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/water"
)

// Told is what follows from the answers.
type Told struct {
	Setup   schedule.Setup
	Tests   []record.WaterTest // of the day; none where nothing was said of the water
	Assumed []string           // what was taken for granted, a sentence each
}

// AllAssumed returns what was taken for granted, what the questions left open and what
// follows from how such a machine is built.
func (t Told) AllAssumed() []string { return slices.Concat(t.Assumed, t.Setup.Assumed) }

// Ids of what an interview sets up.
const (
	placeID   = "home"
	lineID    = "water"
	machineID = "machine"
	grinderID = "grinder"
	filterID  = "filter"
)

// Cartridges as they are sold, for 10 °dH, where nobody read the label. Assumptions,
// after what labels of such cartridges say: a tenth of a cubic metre and a half in a
// tank, a cubic metre on a line.
const (
	tankCartridgeLitres  = 150
	mainsCartridgeLitres = 1000
	cartridgeMonths      = 12 // hygiene limit, common practice
)

// Kettles: hardness by what boiling leaves behind, mg/L as CaCO3, and its spread.
// Assumptions, wide, so that any test replaces them.
var kettles = map[string][2]float64{"clean": {50, 35}, "film": {140, 60}, "crust": {260, 90}, "flakes": {380, 110}}

// Preferred times, by the answer.
var whens = map[string]record.PreferredTime{
	"saturday": {When: "0 10 * * SAT", Minutes: 120}, "sunday": {When: "0 10 * * SUN", Minutes: 120},
	"evening": {When: "0 19 * * WED", Minutes: 90}, "monday": {When: "0 7 * * MON", Minutes: 120}, "friday": {When: "0 15 * * FRI", Minutes: 120},
}

// Place makes a setup of answers, on a day, with zone for a place of which nobody
// said where it is. What was not answered counts as not known. The setup is filled in
// and passes Validate.
func (a Answers) Place(today record.Date, zone string) Told {
	t := Told{}
	for _, q := range Questions(a, zone) {
		if q.ID == "cared" && a.is("came", "new") && a.day("since", today) == today {
			continue // it has no past
		}
		if _, ok := a.known(q.ID); !ok {
			t.Assumed = append(t.Assumed, fmt.Sprintf("%s Nobody said: %s.", q.Ask, q.Unknown))
		}
	}
	units, hardness := a.units()
	t.Setup.Place = record.Place{ID: placeID, Units: units, HardnessUnit: hardness, Name: a.or("name", "Our kitchen"), Zone: a.or("zone", orUTC(zone)), Times: []record.PreferredTime{whens[a.or("when", "saturday")]}}
	line := record.Equipment{ID: lineID, Name: "Water line", Line: &record.WaterLine{Supply: record.Supply(a.or("supply", string(record.Tank)))}}
	a.treatment(line.Line, today)
	machine := record.Equipment{ID: machineID, Name: "Espresso machine", Machine: a.machine()}
	a.past(&machine, today)
	line.Bought, line.Used = machine.Bought, machine.Used
	t.Setup.Equipment = []record.Equipment{line, machine}
	if drive, ok := a.known("grinder"); ok && drive != "none" {
		t.Setup.Equipment = append(t.Setup.Equipment, record.Equipment{
			ID: grinderID, Name: "Grinder", Bought: machine.Bought, Used: machine.Used, LookedAfter: machine.LookedAfter,
			Grinder: &record.Grinder{Drive: record.Drive(drive), Serves: []string{machineID}},
		})
	}
	t.Setup = schedule.FillIn(t.Setup)
	t.Tests = a.tests()
	return t
}

// past says how equipment came, and what is known of its past.
func (a Answers) past(e *record.Equipment, today record.Date) {
	e.Used = a["came"] != "new"
	e.Bought = a.day("since", today)
	if e.Bought.IsZero() {
		e.Bought = today
	}
	if made := a.day("made", today); e.Used && !made.IsZero() {
		e.Made = min(made, e.Bought)
	}
	if cared := a.day("cared", today); !cared.IsZero() {
		e.LookedAfter = max(cared, e.FirstDay())
		e.Past = []record.Past{{State: record.CaredFor, On: e.LookedAfter}}
	}
}

// or returns an answer, or else what is assumed.
func (a Answers) or(id, assumed string) string {
	if is, ok := a.known(id); ok {
		return is
	}
	return assumed
}

func (a Answers) machine() *record.Machine {
	layout := record.Layout(a.or("layout", string(record.OneBoiler)))
	m := &record.Machine{Setting: record.Setting(a.or("setting", string(record.Home))), Layout: layout, Line: lineID}
	n, err := strconv.Atoi(a.or("groups", "1"))
	if err != nil || n < 1 || n > 3 {
		n = 1
	}
	for i := range n {
		id := "group"
		if n > 1 {
			id = fmt.Sprintf("group-%d", i+1)
		}
		m.Groups = append(m.Groups, layout.Group(id))
	}
	if litres, ok := a.litres("hot"); ok {
		m.Habit.HotWaterLitres = &litres
	}
	if cups, ok := a.number("cups"); ok {
		m.Habit.WeekdayShots, m.Habit.WeekendShots = cups, cups
		if milk, ok := a.number("milk"); ok {
			share := 0.0
			if cups > 0 {
				share = min(milk/cups, 1)
			}
			m.Habit.SteamedShare = &share
		}
	}
	return m
}

// treatment adds what the water goes through.
func (a Answers) treatment(l *record.WaterLine, today record.Date) {
	kind, ok := a.known("filter")
	if !ok || kind == "none" {
		return
	}
	t := record.Treatment{ID: filterID, Kind: record.TreatmentKind(kind), Fitted: a.day("fitted", today)}
	if t.Kind.Exchanges() {
		t.RatedLitres, t.RatedDegrees, t.Months = tankCartridgeLitres, 10, cartridgeMonths
		if l.Supply == record.Mains {
			t.RatedLitres = mainsCartridgeLitres
		}
		if litres, ok := a.litres("litres"); ok && litres >= 1 {
			t.RatedLitres = litres
		}
	}
	l.Treatment = []record.Treatment{t}
}

// tests makes a water test of what is known of the water.
func (a Answers) tests() []record.WaterTest {
	if look, ok := a.known("kettle"); ok && a.is("water", "kettle") {
		guess := kettles[look]
		return []record.WaterTest{{Line: lineID, Note: "a guess, by how the kettle looks",
			Test: water.Test{Values: []water.Measured{{Quantity: water.Hardness, Value: guess[0], Unit: water.MgPerLCaCO3, Method: water.MethodStrip, Spread: guess[1]}}}}}
	}
	if !a.is("water", "test", "report") {
		return nil
	}
	var values []water.Measured
	for _, q := range []water.Quantity{water.Hardness, water.Alkalinity} {
		typed, ok := a.known(strings.ToLower(string(q)))
		if !ok {
			continue
		}
		m, err := measured(q, typed)
		if err != nil {
			continue
		}
		if a.is("water", "report") {
			m.Method = water.MethodLaboratory
		}
		values = append(values, m)
	}
	if len(values) == 0 {
		return nil
	}
	return []record.WaterTest{{Line: lineID, Test: water.Test{Values: values}}}
}
