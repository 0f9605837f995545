package care

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/record"
)

// Changed puts an owner's changes into duties: tasks switched off are marked,
// other figures take the place of the catalogue's and say so, tasks of the
// owner's own come last. A change that fits nothing changes nothing.
func Changed(duties []Duty, equipment []record.Equipment, own record.OwnCare) []Duty {
	changed := slices.Clone(duties)
	for i := range changed {
		for _, c := range own.Changes {
			if changed[i].Called(c.Task) {
				changed[i].change(c)
			}
		}
	}
	for _, t := range own.Tasks {
		k := slices.IndexFunc(equipment, func(e record.Equipment) bool { return e.ID == t.Equipment })
		if k >= 0 {
			changed = append(changed, ownDuty(t, equipment[k]))
		}
	}
	return changed
}

// Called tells whether a name fits the duty: its id, or a run of whole parts of
// it, such as backflush-water or descale/steam.
func (d Duty) Called(name string) bool {
	return d.ID == name || name != "" && strings.Contains("/"+d.ID+"/", "/"+name+"/")
}

// change makes one change. Gauges are copied, since duties share the
// catalogue's.
func (d *Duty) change(c record.CareChange) {
	d.Off = d.Off || c.Off
	if c.Note != "" {
		d.Note = c.Note
	}
	whose := "the owner's"
	if c.By == record.ByMaker {
		whose = "the maker's"
	}
	if c.Months > 0 {
		gauge := intervalGauge(c.Months*daysPerMonth, fmt.Sprintf("%s interval of %g months", whose, c.Months))
		gauge.Instead = whose
		for _, g := range d.Gauges {
			gauge.Replaced = append(gauge.Replaced, Replaced{Gauge: g.Name, Unit: g.Unit, Limit: g.Limit})
		}
		d.Gauges = []BoundGauge{gauge}
	}
	if k := d.gaugeNamed(c.Gauge); c.Usual > 0 && k >= 0 {
		d.Gauges = slices.Clone(d.Gauges)
		g := &d.Gauges[k]
		g.Instead = whose
		g.Replaced = append(slices.Clone(g.Replaced), Replaced{Gauge: g.Name, Unit: g.Unit, Limit: g.Limit})
		g.Limit = changedLimit(c, g.Limit, whose)
	}
}

// gaugeNamed finds a gauge, or the only one where no name is given; -1 for none.
func (d *Duty) gaugeNamed(name string) int {
	if name == "" && len(d.Gauges) == 1 {
		return 0
	}
	return slices.IndexFunc(d.Gauges, func(g BoundGauge) bool { return g.Name == name })
}

// changedLimit is the limit a change asks for. Where it leaves the low and the
// high figure out, an owner's limit keeps the spread of the catalogue's, and a
// maker's is taken as it stands.
func changedLimit(c record.CareChange, was Limit, whose string) Limit {
	l := Limit{For: was.For, Low: c.Low, Usual: c.Usual, High: c.High, Source: whose + " figure"}
	low, high := c.Usual*was.Low/was.Usual, c.Usual*was.High/was.Usual
	if c.By == record.ByMaker {
		low, high = c.Usual, c.Usual
	}
	if l.Low == 0 {
		l.Low = low
	}
	if l.High == 0 {
		l.High = high
	}
	return l
}

// intervalGauge is a gauge that stands for an interval.
func intervalGauge(days float64, source string) BoundGauge {
	return BoundGauge{
		Gauge: Gauge{Name: "days since it was last done", Driver: ByDays, Unit: "days"},
		Limit: Limit{Low: days, Usual: days, High: days, Source: source},
	}
}

// ownMinutes is how long a task of the owner's own takes where the owner does
// not say. Assumption.
const ownMinutes = 15

// ownAtStake is what lateness with a task of the owner's own can cost for each life missed,
// in minutes.
// Assumption.
const ownAtStake = 60

// ownDuty makes a duty of a task of the owner's own.
func ownDuty(t record.OwnTask, e record.Equipment) Duty {
	gauge := intervalGauge(t.Days, "the owner's interval")
	switch {
	case t.Months > 0:
		gauge = intervalGauge(t.Months*daysPerMonth, fmt.Sprintf("the owner's interval of %g months", t.Months))
	case t.Driver != "":
		gauge = BoundGauge{
			Gauge: Gauge{Name: t.Driver + " since it was last done", Driver: Driver(t.Driver), Unit: Driver(t.Driver).entry().unit},
			Limit: Limit{Low: t.Limit, Usual: t.Limit, High: t.Limit, Source: "the owner's figure"},
		}
	}
	task := &Task{
		ID: t.ID, Title: t.Title, Who: Owner, Minutes: t.Minutes, Findings: FindsNothing,
		Gauges: []Gauge{gauge.Gauge}, Steps: t.Steps, Cautions: t.Cautions, AtStake: ownAtStake,
		MakeSafe: []string{"This is a task of your own, and the catalogue knows no hazard of it. Switch off, let it cool and relieve the pressure before you open anything."},
		Good:     "It is as you want it.",
	}
	if task.Minutes == 0 {
		task.Minutes = ownMinutes
	}
	duty := Duty{ID: e.ID + "/" + t.ID, Task: task, Equipment: e, Title: t.Title, Alike: t.Title, Fitted: e.Bought, Since: e.Bought, Gauges: []BoundGauge{gauge}, Own: true, Note: t.Note}
	if duty.yearly() {
		duty.Since = max(duty.Since, e.LookedAfter)
	}
	duty.setPast(e)
	return duty
}

// leastAppDays is the least that the first life of a task from an app is taken to
// have lasted when it is due. Assumption.
const leastAppDays = 14

// AppDuty makes a duty of a task that came from a task app on a day. Its first
// life ends on the day that the owner gave. It was done so many times, the last on a
// day; it is off when it comes no more.
func AppDuty(t record.AppTask, came record.Date, e record.Equipment, times int, last record.Date) Duty {
	since := min(came, t.Due-leastAppDays) // a shorter life would make it part of the daily routine
	days := float64(t.Due - since)
	if times > 0 && t.EveryDays > 0 {
		days = t.EveryDays
	}
	own := record.OwnTask{ID: t.ID, Title: t.Title, Equipment: e.ID, Days: days}
	if t.Details != "" {
		own.Steps = []string{t.Details}
	}
	duty := ownDuty(own, e)
	duty.Since, duty.Past = since, Past{}
	duty.Fitted = min(duty.Fitted, since)
	duty.Off = t.Ends(times, last)
	return duty
}

// CheckOwn checks an owner's changes against the catalogue and the equipment of
// a place: that each fits something, and that licensed work is not dropped in
// silence. It returns all that is wrong.
func (c *Catalogue) CheckOwn(equipment []record.Equipment, own record.OwnCare) error {
	duties := c.Duties(equipment)
	// Equipment that is not right yet may lack a task for that alone: then a task
	// that the catalogue knows is no mistake of its own.
	unsettled := slices.ContainsFunc(equipment, func(e record.Equipment) bool { return e.Validate() != nil })
	var wrong []error
	for i, change := range own.Changes {
		wrong = append(wrong, inCare("changes", i, checkChange(change, duties, unsettled && c.names(change.Task))))
	}
	for i, t := range own.Tasks {
		wrong = append(wrong, inCare("tasks", i, c.checkOwnTask(t, equipment)))
	}
	return record.AllOf(wrong...)
}

// inCare names a field by where it stands among an owner's changes.
func inCare(list string, i int, err error) error {
	return record.EachMistake(err, func(wrong record.FieldError) record.FieldError {
		wrong.Field = fmt.Sprintf("care.%s[%d].%s", list, i, wrong.Field)
		return wrong
	})
}

// names reports whether a duty may be called so: by a task of the catalogue,
// alone or after its equipment, before its part.
func (c *Catalogue) names(called string) bool {
	return slices.ContainsFunc(strings.Split(called, "/"), func(word string) bool {
		return slices.ContainsFunc(c.Tasks, func(t Task) bool { return t.ID == word })
	})
}

// checkChange checks a change against the duties there are. One of a task that is not
// among them is wrong, unless it may yet be.
func checkChange(change record.CareChange, duties []Duty, mayYetBe bool) error {
	var ids []string
	found := false
	for _, d := range duties {
		ids = append(ids, d.ID)
		if !d.Called(change.Task) {
			continue
		}
		found = true
		if change.Off && d.Task.Who.Booked() && change.Note == "" {
			return &record.FieldError{Field: "note", Want: "who looks after " + d.ID + " instead: it is licensed work"}
		}
		if change.Usual > 0 && d.gaugeNamed(change.Gauge) < 0 {
			var names []string
			for _, g := range d.Gauges {
				names = append(names, g.Name)
			}
			return &record.FieldError{Field: "gauge", Value: change.Gauge, Want: "a gauge of " + d.ID + ": " + strings.Join(names, "; ")}
		}
	}
	if !found && !mayYetBe {
		return record.NotKnown("task", &record.UnknownError{What: "task", Name: change.Task, Known: ids})
	}
	return nil
}

func (c *Catalogue) checkOwnTask(t record.OwnTask, equipment []record.Equipment) error {
	if slices.ContainsFunc(c.Tasks, func(known Task) bool { return known.ID == t.ID }) {
		return &record.FieldError{Field: "id", Value: t.ID, Want: "an id that no task of the catalogue has"}
	}
	var ids []string
	for _, e := range equipment {
		ids = append(ids, e.ID)
		if e.ID != t.Equipment {
			continue
		}
		counted := e.Machine != nil || e.Grinder != nil && Driver(t.Driver) != ByHotHours
		if t.Driver != "" && !counted {
			return &record.FieldError{Field: "driver", Value: t.Driver, Want: "months or days: nothing of " + e.ID + " is counted so"}
		}
		return nil
	}
	return record.NotKnown("equipment", &record.UnknownError{What: "equipment", Name: t.Equipment, Known: ids})
}
