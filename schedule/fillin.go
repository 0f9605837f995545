package schedule

import (
	"fmt"
	"slices"

	"limekeep/schedule/record"
)

// FillIn returns a setup with what may be left out of it filled in: ids by what a
// thing is, a machine's vessels and group by its layout, the only line it can hang
// on, the machines a grinder can serve. Burrs whose size nobody gave are taken as
// such grinders usually have them. Filled in again it stays as it is; the setup given
// is not changed.
func FillIn(s Setup) Setup {
	s.Equipment = slices.Clone(s.Equipment)
	if s.Place.ID == "" {
		s.Place.ID = "home"
	}
	names := &namer{all: s.Equipment}
	for i := range s.Equipment {
		e := &s.Equipment[i]
		if e.ID == "" {
			e.ID = names.free(map[string]bool{"machine": e.Machine != nil, "grinder": e.Grinder != nil, "water": e.Line != nil, "tools": e.Tools != nil})
		}
		if e.Line != nil {
			e.Line = filledLine(*e.Line)
		}
	}
	lines := idsOf(s.Equipment, func(e record.Equipment) bool { return e.Line != nil })
	s.Assumed = slices.Clone(s.Assumed)
	for i := range s.Equipment {
		if e := &s.Equipment[i]; e.Machine != nil {
			s.Assumed = append(s.Assumed, assumedOfMachine(e.Title(), e.Machine)...)
			e.Machine = filledMachine(*e.Machine, lines)
		}
	}
	if k := slices.IndexFunc(s.Equipment, func(e record.Equipment) bool { return e.Machine != nil && e.Machine.Line == waterID }); k >= 0 && len(lines) == 0 {
		// Nobody spoke of the water: it comes from a tank at home, from the mains in a bar.
		supply := record.Tank
		if s.Equipment[k].Machine.Setting == record.Bar {
			supply = record.Mains
		}
		s.Equipment = append(s.Equipment, record.Equipment{ID: waterID, Line: &record.WaterLine{Supply: supply}})
		from := "a tank that is filled by hand, as at home"
		if supply == record.Mains {
			from = "the mains, as in a bar"
		}
		s.Assumed = append(s.Assumed, fmt.Sprintf("Nobody said where the water of %s comes from: %s.", s.Equipment[k].Title(), from))
	}
	const when = "Nobody said when such work is liked best: Saturdays at ten, two hours."
	if len(s.Place.Times) == 0 && !slices.Contains(s.Assumed, when) {
		s.Assumed = append(s.Assumed, when)
	}
	setting := record.Home
	machines := idsOf(s.Equipment, func(e record.Equipment) bool { return e.Machine != nil })
	if k := slices.IndexFunc(s.Equipment, func(e record.Equipment) bool { return e.Machine != nil }); k >= 0 && slices.Contains(setting.Choices(), string(s.Equipment[k].Machine.Setting)) {
		setting = s.Equipment[k].Machine.Setting
	}
	for i := range s.Equipment {
		e := &s.Equipment[i]
		if e.Grinder != nil {
			given := *e.Grinder
			e.Grinder = filledGrinder(*e.Grinder, machines, setting)
			if given.Drive == "" || given.Geometry == "" || given.DiameterMM == 0 {
				s.Assumed = append(s.Assumed, fmt.Sprintf("Nobody said all of %s: a %s with %s burrs of %.0f mm, as such grinders usually have.",
					e.Title(), map[record.Drive]string{record.HandDriven: "hand grinder"}[e.Grinder.Drive]+map[record.Drive]string{record.MotorDriven: "grinder with a motor"}[e.Grinder.Drive], e.Grinder.Geometry, e.Grinder.DiameterMM))
			}
		}
		if e.Tools != nil && e.Tools.Setting == "" {
			tools := *e.Tools
			tools.Setting = setting
			e.Tools = &tools
		}
	}
	return s
}

// waterID is the id of a line that nobody gave one.
const waterID = "water"

func filledLine(l record.WaterLine) *record.WaterLine {
	l.Treatment = slices.Clone(l.Treatment)
	for i := range l.Treatment {
		if t := &l.Treatment[i]; t.ID == "" {
			t.ID = freeID("filter", len(l.Treatment), func(id string) bool {
				return slices.ContainsFunc(l.Treatment, func(other record.Treatment) bool { return other.ID == id })
			})
		}
	}
	return &l
}

func filledMachine(m record.Machine, lines []string) *record.Machine {
	if m.Setting == "" {
		m.Setting = record.Home
	}
	if m.Line == "" {
		switch len(lines) {
		case 0:
			m.Line = waterID
		case 1:
			m.Line = lines[0]
		}
	}
	taken := func(id string) bool {
		return slices.ContainsFunc(m.Vessels, func(v record.Vessel) bool { return v.ID == id }) ||
			slices.ContainsFunc(m.Groups, func(g record.Group) bool { return g.ID == id })
	}
	m.Vessels, m.Groups = slices.Clone(m.Vessels), slices.Clone(m.Groups)
	if len(m.Vessels) == 0 {
		m.Vessels = m.Layout.Vessels()
	}
	for i := range m.Vessels {
		if v := &m.Vessels[i]; v.ID == "" {
			word := map[record.VesselKind]string{record.BrewBoiler: "brew", record.SteamBoiler: "steam", record.HeatExchanger: "exchanger", record.Thermoblock: "block"}[v.Kind]
			if word == "" {
				word = "vessel"
			}
			v.ID = freeID(word, len(m.Vessels)+len(m.Groups), taken)
		}
	}
	if len(m.Groups) == 0 && len(m.Vessels) > 0 {
		m.Groups = []record.Group{m.Layout.Group(freeID("group", 1, taken))}
	}
	for i := range m.Groups {
		if g := &m.Groups[i]; g.ID == "" {
			id := freeID("group", len(m.Vessels)+len(m.Groups), taken)
			if *g == (record.Group{}) { // nothing was said but that it is there
				*g = m.Layout.Group("")
			}
			g.ID = id
		}
		if g := &m.Groups[i]; m.Layout == record.LeverBoiler && !g.Cam && !g.ThreeWayValve {
			g.Lever = true // which is what the layout says, however little is said of a group
		}
	}
	return &m
}

// Burrs as grinders usually have them, common practice: cones in hand grinders and
// small ones at home, discs in a bar.
func filledGrinder(g record.Grinder, machines []string, setting record.Setting) *record.Grinder {
	if g.Setting == "" {
		g.Setting = setting
	}
	if g.Drive == "" {
		g.Drive = record.MotorDriven
	}
	if g.Geometry == "" {
		g.Geometry = record.FlatBurrs
		if g.Drive == record.HandDriven {
			g.Geometry = record.ConicalBurrs
		}
	}
	if g.DiameterMM == 0 {
		switch {
		case g.Drive == record.HandDriven:
			g.DiameterMM = 48
		case g.Setting == record.Bar:
			g.DiameterMM = 75
		default:
			g.DiameterMM = 58
		}
	}
	if len(g.Serves) == 0 {
		g.Serves = slices.Clone(machines)
	}
	return &g
}

func idsOf(all []record.Equipment, is func(record.Equipment) bool) []string {
	var ids []string
	for _, e := range all {
		if is(e) {
			ids = append(ids, e.ID)
		}
	}
	return ids
}

// namer gives ids to equipment that has none.
type namer struct{ all []record.Equipment }

func (n *namer) free(kinds map[string]bool) string {
	word := "equipment"
	for kind, is := range kinds {
		if is {
			word = kind
		}
	}
	return freeID(word, len(n.all), func(id string) bool {
		return slices.ContainsFunc(n.all, func(e record.Equipment) bool { return e.ID == id })
	})
}

// freeID returns a word as an id, with a number behind it where it is taken.
func freeID(word string, most int, taken func(string) bool) string {
	for i := 2; taken(word) && i <= most+2; i++ {
		if numbered := fmt.Sprintf("%s-%d", word, i); !taken(numbered) {
			return numbered
		}
	}
	return word
}

// assumedOfMachine says what is taken for granted of a machine before it is filled in.
func assumedOfMachine(name string, m *record.Machine) []string {
	var all []string
	if m.Setting == "" {
		all = append(all, fmt.Sprintf("Nobody said where %s stands: at home, or in an office kitchen.", name))
	}
	if len(m.Vessels) == 0 && m.Layout != "" {
		all = append(all, fmt.Sprintf("Nobody wrote out what heats water in %s: as in machines of the layout %q.", name, string(m.Layout)))
	}
	var is string
	switch g := m.Layout.Group(""); {
	case g.Lever:
		is = "with a lever"
	case g.ThreeWayValve:
		is = "with a three-way valve"
	default:
		is = "without a three-way valve"
	}
	switch {
	case len(m.Groups) == 0:
		all = append(all, fmt.Sprintf("Nobody said how many groups %s has: one group %s.", name, is))
	case slices.Contains(m.Groups, record.Group{}):
		all = append(all, fmt.Sprintf("Nobody said what the groups of %s are like: %s.", name, is))
	}
	return all
}
