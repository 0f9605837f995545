package day

import (
	"cmp"
	"slices"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// PartState is a part of a piece of equipment, with all that is done to it.
type PartState struct {
	Equipment string     `json:"equipment"`      // id
	Part      string     `json:"part,omitempty"` // id of the vessel, group or stage; empty for the whole
	Name      string     `json:"name"`
	Highest   *PartTask  `json:"highest"` // what stands highest of its tasks, routine aside; of a vessel its scale; null for none
	Past      []PartTask `json:"past"`    // what is past its limit beside that
	Tasks     []PartTask `json:"tasks"`   // the soonest first
}

// PartTask is a task of a part with the gauge that stands highest.
type PartTask struct {
	Task    string             `json:"task"`
	Title   string             `json:"title"`
	Gauge   string             `json:"gauge"`
	Reading figure.Percentiles `json:"reading"` // 0 fresh, 1 at the limit
	Likely  *record.Date       `json:"likely"`  // null beyond the horizon
	Overdue bool               `json:"overdue"`
	Routine bool               `json:"routine"`
	scale   bool
	tests   bool // of the water that the part lets out
}

// MachineParts is a machine part by part, in the order the water meets them, with
// what stands before and beside it.
type MachineParts struct {
	Equipment string         `json:"equipment"`
	Name      string         `json:"name"`
	Supply    record.Supply  `json:"supply"`
	Source    PartState      `json:"source"` // the water line itself
	Stages    []StageState   `json:"treatment"`
	Pump      *PartState     `json:"pump"`
	Vessels   []VesselState  `json:"vessels"`
	Groups    []GroupState   `json:"groups"`
	Wand      *PartState     `json:"steam_wand"`
	HotTap    bool           `json:"hot_water_tap"`
	Whole     PartState      `json:"whole"` // what belongs to no part of its own
	Grinders  []GrinderState `json:"grinders"`
}

// StageState is a stage of treatment.
type StageState struct {
	PartState
	Kind record.TreatmentKind `json:"kind"`
}

// VesselState is what holds hot water.
type VesselState struct {
	PartState
	Kind     record.VesselKind `json:"kind"`
	Material record.Material   `json:"material"`
	Celsius  float64           `json:"celsius"` // of its kind where the owner does not know it
}

// GroupState is where the portafilter locks in.
type GroupState struct {
	PartState
	Lever  bool `json:"lever"`
	Spring bool `json:"spring"`
	Cam    bool `json:"cam"`
}

// GrinderState is a grinder that serves the machine.
type GrinderState struct {
	PartState
	Hand bool `json:"hand"`
}

// Parts are the pieces of equipment as a forecast has them, part by part.
type Parts struct{ f *Forecast }

// Parts returns them.
func (f *Forecast) Parts() Parts { return Parts{f} }

// Machine returns a machine part by part. An id that is no machine's is an
// error that matches record.ErrUnknown.
func (q Parts) Machine(id string) (MachineParts, error) {
	e, err := q.f.Day.Book.Find(id)
	if err != nil || e.Machine == nil {
		return MachineParts{}, &record.UnknownError{What: "machine", Name: id}
	}
	m := e.Machine
	parts := MachineParts{Equipment: e.ID, Name: e.Title(), Supply: record.Mains, Stages: []StageState{}, Vessels: []VesselState{}, Groups: []GroupState{}, Grinders: []GrinderState{}}
	if line, err := q.f.Day.Book.Find(m.Line); err == nil && line.Line != nil {
		parts.Supply = line.Line.Supply
		parts.Source = q.part(line.ID, "", line.Title(), func(d care.Duty) bool {
			return d.Equipment.ID == line.ID && d.Part == "" || d.Equipment.ID == e.ID && ofTank(d)
		})
		for _, t := range line.Line.Treatment {
			parts.Stages = append(parts.Stages, StageState{q.partOf(line, t.ID, string(t.Kind)), t.Kind})
		}
	}
	fittings := care.FittingsOf(m, parts.Supply)
	if care.PumpOf(m, parts.Supply) != record.NoPump {
		pump := q.part(e.ID, "", "pump", func(d care.Duty) bool { return d.Equipment.ID == e.ID && ofPump(d) })
		parts.Pump = &pump
	}
	if slices.Contains(fittings, record.SteamWand) {
		wand := q.part(e.ID, "", "steam wand", func(d care.Duty) bool { return d.Equipment.ID == e.ID && ofWand(d) })
		parts.Wand = &wand
	}
	parts.HotTap = slices.Contains(fittings, record.HotWaterTap)
	for _, v := range m.Vessels {
		parts.Vessels = append(parts.Vessels, VesselState{q.partOf(e, v.ID, string(v.Kind)), v.Kind, v.Material, wear.Celsius(v, m.Setting)})
	}
	for _, g := range m.Groups {
		parts.Groups = append(parts.Groups, GroupState{q.partOf(e, g.ID, "group"), g.Lever, g.Spring, g.Cam})
	}
	parts.Whole = q.part(e.ID, "", e.Title(), func(d care.Duty) bool {
		return d.Equipment.ID == e.ID && d.Part == "" && !ofPump(d) && !ofWand(d) && !ofTank(d)
	})
	for _, g := range q.f.Day.Book.Equipment() {
		if g.Grinder != nil && slices.Contains(g.Grinder.Serves, e.ID) {
			parts.Grinders = append(parts.Grinders, GrinderState{q.Whole(g), g.Grinder.Drive == record.HandDriven})
		}
	}
	return parts, nil
}

// Line returns a water line itself and the stages of its treatment. An id that is
// no line's is an error that matches record.ErrUnknown.
func (q Parts) Line(id string) (source PartState, stages []StageState, err error) {
	e, err := q.f.Day.Book.Find(id)
	if err != nil || e.Line == nil {
		return PartState{}, nil, &record.UnknownError{What: "water line", Name: id}
	}
	source = q.part(e.ID, "", e.Title(), func(d care.Duty) bool { return d.Equipment.ID == e.ID && d.Part == "" })
	for _, t := range e.Line.Treatment {
		stages = append(stages, StageState{q.partOf(e, t.ID, string(t.Kind)), t.Kind})
	}
	return source, stages, nil
}

// Whole returns a piece of equipment as one part, with all its tasks.
func (q Parts) Whole(e record.Equipment) PartState {
	return q.part(e.ID, "", e.Title(), func(d care.Duty) bool { return d.Equipment.ID == e.ID })
}

// partOf is a part with an id of its own. What is called like its kind, or bears a
// number alone, is named by its kind.
func (q Parts) partOf(e record.Equipment, part, kind string) PartState {
	return q.part(e.ID, part, cmp.Or(part, kind), func(d care.Duty) bool { return d.Equipment.ID == e.ID && d.Part == part })
}

// The catalogue says by its words what of a machine a task is about: what its tank,
// its pump or its steam wand must be there for.
func ofTank(d care.Duty) bool {
	return d.Part == "" && slices.Contains(d.Task.When, string(record.Tank))
}

func ofPump(d care.Duty) bool {
	return d.Part == "" && !ofTank(d) && slices.Contains(d.Task.When, "pump")
}

func ofWand(d care.Duty) bool {
	return d.Part == "" && slices.Contains(d.Task.When, string(record.SteamWand))
}

// part gathers the tasks of a part.
func (q Parts) part(equipment, part, name string, is func(care.Duty) bool) PartState {
	p := PartState{Equipment: equipment, Part: part, Name: name, Past: []PartTask{}, Tasks: []PartTask{}}
	for _, x := range q.f.outcomes {
		if is(x.Duty) {
			p.Tasks = append(p.Tasks, q.task(x))
		}
	}
	slices.SortStableFunc(p.Tasks, func(a, b PartTask) int {
		return cmp.Or(cmp.Compare(dateOrEnd(a.Likely), dateOrEnd(b.Likely)), cmp.Compare(a.Task, b.Task))
	})
	for i := range p.Tasks {
		if t := &p.Tasks[i]; t.counts() && (p.Highest == nil || t.before(*p.Highest)) {
			p.Highest = t
		}
	}
	for i := range p.Tasks {
		if t := &p.Tasks[i]; t.counts() && t != p.Highest && t.Reading.Likely >= 1 {
			p.Past = append(p.Past, *t)
		}
	}
	return p
}

// counts reports whether a task says how worn a part is: what comes round every few
// days does not, and neither does how old the test of a cartridge's water is.
func (t PartTask) counts() bool { return t.Gauge != "" && !t.Routine && !t.tests }

// before reports whether a task tells more of a part than another: scale before all
// else, since a vessel is drawn with it, and then what stands higher.
func (t PartTask) before(other PartTask) bool {
	if t.scale != other.scale {
		return t.scale
	}
	return t.Reading.Likely > other.Reading.Likely
}

func (q Parts) task(x wear.Outcome) PartTask {
	t := PartTask{
		Task: x.Duty.ID, Title: x.Duty.Title, Likely: DateOrNil(x.Window.Likely),
		Overdue: !x.Window.Likely.IsZero() && x.Window.Likely < q.f.Day.Today, Routine: q.f.routine(x), scale: x.Scale != nil,
		tests: x.Duty.Task.TestsWater() && x.Duty.Part != "",
	}
	for _, g := range x.Gauges {
		if g.Gauge.Driver.OfAbsence() {
			continue
		}
		if t.Gauge == "" || g.Reading.Likely > t.Reading.Likely {
			t.Gauge, t.Reading = g.Gauge.Name, g.Reading
		}
	}
	return t
}

func dateOrEnd(d *record.Date) record.Date {
	if d == nil {
		return schedule.EndOfTime
	}
	return *d
}
