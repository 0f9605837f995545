package placeform

import (
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// Around is what else there is to choose from at a place.
type Around struct {
	Lines    []form.Choice // water lines, by id
	Machines []form.Choice // by id
	Tasks    []form.Choice // of the equipment, by their own id, for what is known of their past
	All      []form.Choice // all equipment, by id
}

// Equipment returns the fields of a piece of equipment, filled in as it is. What it
// is – a machine, a grinder, a water line or tools – stays.
func Equipment(e record.Equipment, around Around) []form.Field {
	w := writer{equipment: e, around: around}
	came := w.fields("", "Equipment", map[string]any{
		"bought": e.Bought, "used": e.Used, "made": e.Made, "looked_after": e.LookedAfter, "records_from": e.RecordsFrom,
	}, "bought", "used", "made", "looked_after", "records_from")
	all := w.fields("", "Equipment", map[string]any{"name": e.Name, "serial": e.Serial}, "name", "serial")
	switch {
	case e.Machine != nil:
		all = append(all, w.machine(e.Machine)...)
	case e.Grinder != nil:
		all = append(all, w.grinder(e.Grinder)...)
	case e.Line != nil:
		all = append(all, w.line(e.Line)...)
	case e.Tools != nil:
		all = append(all, w.tools(e.Tools)...)
	}
	all = append(all, form.Field{Label: wording.HowItCameToYou, Kind: form.SectionInput, Folded: true, Row: append(came, list("past", e.Past, wording.AnotherPartsPast, w.past)...)})
	return all
}

// ReadEquipment returns the equipment with what was filled in. What cannot be read is a
// problem of the form, whose inputs then know by which names errors call them.
func ReadEquipment(s *form.Form, e record.Equipment) record.Equipment {
	r := reader{form: s, id: e.ID}
	r.into("", "", map[string]any{
		"name": &e.Name, "serial": &e.Serial, "bought": &e.Bought, "used": &e.Used, "made": &e.Made, "looked_after": &e.LookedAfter, "records_from": &e.RecordsFrom,
	})
	e.Past = readList(&r, "past", "past", e.Past, func(prefix, at string, p *record.Past) { r.past(prefix, at, p) })
	switch {
	case e.Machine != nil:
		m := *e.Machine
		r.machine(&m)
		e.Machine = &m
	case e.Grinder != nil:
		g := *e.Grinder
		r.grinder(&g)
		e.Grinder = &g
	case e.Line != nil:
		l := *e.Line
		r.line(&l)
		e.Line = &l
	case e.Tools != nil:
		t := *e.Tools
		r.tools(&t)
		e.Tools = &t
	}
	return e
}

func (w writer) machine(m *record.Machine) []form.Field {
	all := w.fields("", "Machine", map[string]any{"setting": m.Setting, "water_line": m.Line}, "setting", "water_line")
	all = append(all, form.Field{Label: wording.OfField("Machine.habit").Label, Kind: form.SectionInput, Row: w.habit(m.Habit)})
	all = append(all, form.Field{Label: wording.WhatADrinkTakes, Kind: form.SectionInput, Folded: true, Row: w.drinks(m.Habit)})
	all = append(all, list("vessels", m.Vessels, wording.AnotherVessel, w.vessel)...)
	all = append(all, list("groups", m.Groups, wording.AnotherGroup, w.group)...)
	parts := w.fields("", "Machine", map[string]any{"pump": m.Pump, "control": m.Control}, "pump", "control")
	return append(all, form.Field{Label: wording.PumpControlAndParts, Kind: form.SectionInput, Folded: true, Hint: wording.LeftAsUsualOnMachines,
		Row: append(parts, fittings(record.MachineFittings(), m.Has, m.Lacks)...)})
}

func (r reader) machine(m *record.Machine) {
	r.into("", "", map[string]any{"setting": &m.Setting, "water_line": &m.Line, "pump": &m.Pump, "control": &m.Control})
	r.habit(&m.Habit)
	m.Vessels = readList(&r, "vessels", "vessels", m.Vessels, r.vessel)
	m.Groups = readList(&r, "groups", "groups", m.Groups, func(prefix, at string, g *record.Group) {
		r.into(prefix, at, map[string]any{"three_way_valve": &g.ThreeWayValve, "lever": &g.Lever, "spring": &g.Spring, "cam": &g.Cam, "gasket": &g.Gasket, "seal_celsius": &g.SealCelsius})
	})
	m.Has, m.Lacks = r.fittings(record.MachineFittings())
}

func (w writer) vessel(prefix string, v record.Vessel, _ bool) (string, []form.Field) {
	return capital(string(v.Kind)), w.fields(prefix, "Vessel", map[string]any{
		"kind": v.Kind, "material": v.Material, "litres": v.Litres, "watts": v.Watts, "celsius": v.Celsius, "gauge_bar": v.GaugeBar, "orifice_mm": v.OrificeMM, "descaled": v.Descaled, "no_descaler": v.NoDescaler,
	}, "kind", "material", "litres", "watts", "celsius", "gauge_bar", "orifice_mm", "descaled", "no_descaler")
}

func (r reader) vessel(prefix, at string, v *record.Vessel) {
	r.into(prefix, at, map[string]any{
		"kind": &v.Kind, "material": &v.Material, "litres": &v.Litres, "watts": &v.Watts, "celsius": &v.Celsius, "gauge_bar": &v.GaugeBar, "orifice_mm": &v.OrificeMM, "descaled": &v.Descaled, "no_descaler": &v.NoDescaler,
	})
}

func (w writer) group(prefix string, g record.Group, fresh bool) (string, []form.Field) {
	if fresh {
		g.ThreeWayValve = true // as most have
	}
	title := "Group"
	if g.ID != "group" {
		title += " " + g.ID
	}
	return title, w.fields(prefix, "Group", map[string]any{
		"three_way_valve": g.ThreeWayValve, "lever": g.Lever, "spring": g.Spring, "cam": g.Cam, "gasket": g.Gasket, "seal_celsius": g.SealCelsius,
	}, "three_way_valve", "lever", "spring", "cam", "gasket", "seal_celsius")
}

func (w writer) grinder(g *record.Grinder) []form.Field {
	all := w.fields("", "Grinder", map[string]any{"setting": g.Setting, "drive": g.Drive, "burr_geometry": g.Geometry, "burr_diameter_mm": g.DiameterMM}, "setting", "drive", "burr_geometry", "burr_diameter_mm")
	served := form.Field{Label: wording.OfField("Grinder.serves").Label, Kind: form.SectionInput}
	for _, m := range w.around.Machines {
		served.Row = append(served.Row, form.Field{Name: "serves-" + m.Value, Label: m.Label, Kind: form.BoxInput, Value: yes(slices.Contains(g.Serves, m.Value))})
	}
	all = append(all, served)
	more := w.fields("", "Grinder", map[string]any{
		"burr_material": g.Material, "burr_coated": g.Coated, "roast": g.Roast, "seconds_per_click": g.SecondsPerClick, "finer_is_higher": g.FinerIsHigher,
	}, "burr_material", "burr_coated", "roast", "seconds_per_click", "finer_is_higher")
	return append(all, form.Field{Label: wording.BurrsScaleAndParts, Kind: form.SectionInput, Folded: true, Row: append(more, fittings(record.GrinderFittings(), g.Has, g.Lacks)...)})
}

func (r reader) grinder(g *record.Grinder) {
	r.into("", "", map[string]any{
		"setting": &g.Setting, "drive": &g.Drive, "burr_geometry": &g.Geometry, "burr_diameter_mm": &g.DiameterMM,
		"burr_material": &g.Material, "burr_coated": &g.Coated, "roast": &g.Roast, "seconds_per_click": &g.SecondsPerClick, "finer_is_higher": &g.FinerIsHigher,
	})
	g.Serves = r.ticked("serves-", "serves")
	g.Has, g.Lacks = r.fittings(record.GrinderFittings())
}

func (w writer) line(l *record.WaterLine) []form.Field {
	all := w.fields("", "WaterLine", map[string]any{"supply": l.Supply}, "supply")
	all = append(all, list("treatment", l.Treatment, wording.AnotherTreatmentBehindThoseAbove, w.treatment)...)
	return append(all, form.Field{Label: wording.PartsOfTheLine, Kind: form.SectionInput, Folded: true, Hint: wording.LeftAsUsualOnLines, Row: fittings(record.LineFittings(), l.Has, l.Lacks)})
}

func (w writer) treatment(prefix string, t record.Treatment, _ bool) (string, []form.Field) {
	return capital(string(t.Kind)), w.fields(prefix, "Treatment", map[string]any{
		"kind": t.Kind, "fitted": t.Fitted, "rated_litres": t.RatedLitres, "rated_hardness_dh": t.RatedDegrees, "bypass_share": t.BypassShare, "hydrogen_share": t.Hydrogen, "months": t.Months, "regenerated": t.Regenerated, "before": t.Before,
	}, "kind", "fitted", "rated_litres", "rated_hardness_dh", "bypass_share", "months", "hydrogen_share", "regenerated", "before")
}

func (r reader) line(l *record.WaterLine) {
	r.into("", "", map[string]any{"supply": &l.Supply})
	l.Treatment = readList(&r, "treatment", "treatment", l.Treatment, func(prefix, at string, t *record.Treatment) {
		r.into(prefix, at, map[string]any{
			"kind": &t.Kind, "fitted": &t.Fitted, "rated_litres": &t.RatedLitres, "rated_hardness_dh": &t.RatedDegrees, "bypass_share": &t.BypassShare, "hydrogen_share": &t.Hydrogen, "months": &t.Months, "regenerated": &t.Regenerated, "before": &t.Before,
		})
	})
	l.Has, l.Lacks = r.fittings(record.LineFittings())
}

func (w writer) tools(t *record.Tools) []form.Field {
	all := w.fields("", "Tools", map[string]any{"setting": t.Setting}, "setting")
	have := form.Field{Label: wording.OfField("Tools.have").Label, Kind: form.SectionInput}
	for _, tool := range record.Tool("").Choices() {
		have.Row = append(have.Row, form.Field{Name: "have-" + tool, Label: capital(tool), Kind: form.BoxInput, Value: yes(slices.Contains(t.Have, record.Tool(tool)))})
	}
	return append(all, have)
}

func (r reader) tools(t *record.Tools) {
	r.into("", "", map[string]any{"setting": &t.Setting})
	t.Have = nil
	for _, tool := range r.ticked("have-", "have") {
		t.Have = append(t.Have, record.Tool(tool))
	}
}

func (w writer) past(prefix string, p record.Past, fresh bool) (string, []form.Field) {
	title := wording.AllOfIt
	if p.Of != "" {
		title = wording.PastOf(p.Of)
	}
	if fresh {
		title = ""
	}
	return title, w.fields(prefix, "Past", map[string]any{"of": pastOf(p.Of), "state": p.State, "on": p.On, "looked": p.Looked}, "of", "state", "on", "looked")
}

func (r reader) past(prefix, at string, p *record.Past) {
	of := pastOf(p.Of)
	r.into(prefix, at, map[string]any{"of": &of, "state": &p.State, "on": &p.On, "looked": &p.Looked})
	p.Of = string(of)
}

// pastOf is what is known of whose past: one of the parts of the equipment or of its
// tasks.
type pastOf string

// choicesOf lists what can be chosen for a field that is no list of words by itself.
func (w writer) choicesOf(typed any) []form.Choice {
	var all []form.Choice
	add := func(id, label string) {
		if !slices.ContainsFunc(all, func(c form.Choice) bool { return c.Value == id }) {
			all = append(all, form.Choice{Value: id, Label: label})
		}
	}
	of, ok := typed.(pastOf)
	if !ok {
		return nil
	}
	if m := w.equipment.Machine; m != nil {
		for _, v := range m.Vessels {
			add(v.ID, string(v.Kind)+" "+v.ID)
		}
		for _, g := range m.Groups {
			add(g.ID, wording.GroupCalled(g.ID))
		}
	}
	if l := w.equipment.Line; l != nil {
		for _, t := range l.Treatment {
			add(t.ID, string(t.Kind)+" "+t.ID)
		}
	}
	for _, t := range w.around.Tasks {
		add(t.Value, t.Label)
	}
	if of != "" {
		add(string(of), string(of))
	}
	return all
}
