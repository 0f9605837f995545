package interview

import (
	"fmt"
	"slices"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// Addition is what can be added to a place that is set up, by questions.
type Addition string

// What can be added.
const (
	AddMachine   Addition = "machine"
	AddGrinder   Addition = "grinder"
	AddLine      Addition = "water-line"
	AddCartridge Addition = "cartridge"
)

// newLine is the answer that a machine gets a water line of its own.
const newLine = "new"

// allMachines is the answer that a grinder grinds for all of them.
const allMachines = "all"

// QuestionsToAdd lists the questions about a thing that is to be added to a place, in
// the order in which they are asked, given the answers so far. They are those of a
// set-up as far as they are about that thing.
func QuestionsToAdd(what Addition, a Answers, to schedule.Setup) []Question {
	asked := map[string]Question{}
	for _, q := range Questions(a, "") {
		asked[q.ID] = q
	}
	var all []Question
	ask := func(ids ...string) {
		for _, id := range ids {
			if q, ok := asked[id]; ok {
				all = append(all, q)
			}
		}
	}
	called := func(usual string) Question {
		return Question{ID: "name", Ask: "What do you call it?", Kind: Text, Usual: usual, Unknown: usual}
	}
	water := func() { ask("supply", "filter", "fitted", "litres") }
	switch what {
	case AddMachine:
		all = append(all, called("Espresso machine"))
		ask("layout")
		if lines := chosenFrom(to, func(e record.Equipment) bool { return e.Line != nil }); len(lines) > 0 {
			all = append(all, Question{ID: "line", Ask: "Which water does it get?", Kind: Choice, Options: append(lines, Option{newLine, "Other water than those", ""}), Unknown: "that of " + lines[0].Label})
		}
		if a.is("line", newLine) || len(to.Equipment) == 0 {
			water()
		}
		ask("groups", "setting", "came", "since", "made", "cared", "cups", "milk")
	case AddGrinder:
		all = append(all, called("Grinder"))
		drive := asked["grinder"]
		drive.Ask, drive.Unknown = "What turns it?", "a motor"
		drive.Options = []Option{{string(record.MotorDriven), "A motor", ""}, {string(record.HandDriven), "A hand", ""}}
		all = append(all, drive)
		if machines := chosenFrom(to, func(e record.Equipment) bool { return e.Machine != nil }); len(machines) > 1 {
			all = append(all, Question{ID: "serves", Ask: "For which machine does it grind?", Kind: Choice, Options: append(machines, Option{allMachines, "For all of them", ""}), Unknown: "for all of them"})
		}
		ask("came", "since", "made", "cared")
	case AddLine:
		all = append(all, called("Water line"))
		water()
		ask("came", "since", "made")
	case AddCartridge:
		if lines := chosenFrom(to, func(e record.Equipment) bool { return e.Line != nil }); len(lines) > 1 {
			all = append(all, Question{ID: "line", Ask: "Into which water line does it go?", Kind: Choice, Options: lines, Unknown: lines[0].Label})
		}
		filter := asked["filter"]
		filter.Ask, filter.Unknown = "What is it?", "a softening cartridge"
		filter.Options = slices.DeleteFunc(slices.Clone(filter.Options), func(o Option) bool { return o.Value == "none" })
		all = append(all, filter)
		ask("fitted", "litres")
		all = append(all, Question{ID: "before", Ask: "What stood in its place before?", Kind: Choice,
			Options: []Option{{string(record.NoneBefore), "Nothing: the water came through as it was", ""}, {string(record.LikeBefore), "Another of its kind", ""}},
			Unknown: "the one or the other: what scale there is may have come of either"})
	}
	return all
}

// chosenFrom lists equipment of a kind as answers.
func chosenFrom(s schedule.Setup, is func(record.Equipment) bool) []Option {
	var all []Option
	for _, e := range s.Equipment {
		if is(e) {
			all = append(all, Option{Value: e.ID, Label: e.Title()})
		}
	}
	return all
}

// Add puts what was answered into a setup and returns it filled in, with the id of the
// equipment that is new, or changed by what is new on it. What was not answered counts as not
// known, and is told. Ids that taken reports are not given, since a history hangs on
// them.
func (a Answers) Add(what Addition, to schedule.Setup, today record.Date, taken func(id string) bool) (added schedule.Setup, id string, assumed []string) {
	for _, q := range QuestionsToAdd(what, a, to) {
		if _, ok := a.known(q.ID); !ok {
			assumed = append(assumed, fmt.Sprintf("%s Nobody said: %s.", q.Ask, q.Unknown))
		}
	}
	free := func(word string) string {
		for i := 2; taken(word); i++ {
			word = fmt.Sprintf("%s-%d", whatIs[what], i)
		}
		return word
	}
	to.Equipment = slices.Clone(to.Equipment)
	before := len(to.Assumed)
	e := record.Equipment{ID: free(whatIs[what]), Name: a.or("name", "")}
	switch what {
	case AddMachine:
		e.Name, e.Machine = a.or("name", "Espresso machine"), a.machine()
		e.Machine.Line = a.lineFor(&to, today, taken)
		a.past(&e, today)
		if last := &to.Equipment[len(to.Equipment)-1]; last.ID == e.Machine.Line && a.is("line", newLine) {
			last.Bought, last.Used, last.Made = e.Bought, e.Used, e.Made // its line came with it
		}
	case AddGrinder:
		e.Name, e.Grinder = a.or("name", "Grinder"), &record.Grinder{Drive: record.Drive(a.or("grinder", string(record.MotorDriven)))}
		if machine, ok := a.known("serves"); ok && machine != allMachines {
			e.Grinder.Serves = []string{machine}
		}
		a.past(&e, today)
	case AddLine:
		e.Name, e.Line = a.or("name", "Water line"), a.line(today, taken)
		a.past(&e, today)
	case AddCartridge:
		return a.addCartridge(to, today, free, assumed)
	}
	to.Equipment = append(to.Equipment, e)
	to = schedule.FillIn(to)
	return to, e.ID, append(assumed, to.Assumed[min(before, len(to.Assumed)):]...)
}

// whatIs has the word that ids of what is added begin with.
var whatIs = map[Addition]string{AddMachine: machineID, AddGrinder: grinderID, AddLine: lineID, AddCartridge: filterID}

// lineFor returns the id of the water line of a new machine, which is added to the setup
// where it is new as well.
func (a Answers) lineFor(to *schedule.Setup, today record.Date, taken func(string) bool) string {
	lines := chosenFrom(*to, func(e record.Equipment) bool { return e.Line != nil })
	line := a["line"]
	if i := slices.IndexFunc(lines, func(o Option) bool { return o.Value == line }); i >= 0 {
		return line
	}
	if len(lines) > 0 && line != newLine {
		return lines[0].Value
	}
	id := lineID
	for i := 2; taken(id); i++ {
		id = fmt.Sprintf("%s-%d", lineID, i)
	}
	to.Equipment = append(to.Equipment, record.Equipment{ID: id, Name: "Water line of " + a.or("name", "the espresso machine"), Bought: today, Line: a.line(today, taken)})
	return id
}

// line makes a water line of the answers.
func (a Answers) line(today record.Date, taken func(string) bool) *record.WaterLine {
	l := &record.WaterLine{Supply: record.Supply(a.or("supply", string(record.Tank)))}
	a.treatment(l, today)
	for i := range l.Treatment {
		for n := 2; taken(l.Treatment[i].ID); n++ {
			l.Treatment[i].ID = fmt.Sprintf("%s-%d", filterID, n)
		}
	}
	return l
}

// addCartridge adds a stage to a water line, behind those that are there.
func (a Answers) addCartridge(to schedule.Setup, today record.Date, free func(string) string, assumed []string) (schedule.Setup, string, []string) {
	into := slices.IndexFunc(to.Equipment, func(e record.Equipment) bool {
		return e.Line != nil && (a["line"] == e.ID || a["line"] == "" || a["line"] == DontKnow)
	})
	if into < 0 {
		return to, "", assumed
	}
	e := to.Equipment[into]
	l := *e.Line
	var stage record.WaterLine
	withKind := Answers{"filter": string(record.Softener)}
	for id, is := range a {
		if is != DontKnow || id != "filter" {
			withKind[id] = is
		}
	}
	stage.Supply = l.Supply
	withKind.treatment(&stage, today)
	for _, t := range stage.Treatment {
		t.ID, t.Before = free(filterID), record.Before(a.or("before", ""))
		if t.Fitted.IsZero() {
			t.Fitted = today
		}
		l.Treatment = append(slices.Clone(l.Treatment), t)
	}
	e.Line = &l
	to.Equipment[into] = e
	return schedule.FillIn(to), e.ID, assumed
}
