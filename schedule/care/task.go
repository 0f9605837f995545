package care

import (
	"slices"

	"limekeep/water/figure"
)

// Task is a kind of care as the catalogue describes it.
type Task struct {
	ID        string    `yaml:"id"`
	Title     string    `yaml:"title"`  // "{part}" stands for the part's own name
	Renews    bool      `yaml:"renews"` // a part is renewed, not cleaned or looked at
	Per       Per       `yaml:"per"`
	When      []string  `yaml:"when"`   // words that must all be true of the part
	Unless    []string  `yaml:"unless"` // words of which none may be true
	Who       Who       `yaml:"who"`
	Safety    bool      `yaml:"safety"`  // leaving it out can hurt somebody or flood a home
	Minutes   float64   `yaml:"minutes"` // from beginning to end, waits among it, heating and cooling not
	Waits     []Wait    `yaml:"waits"`   // in order
	Needs     []string  `yaml:"needs"`   // state the work starts from
	Heats     bool      `yaml:"heats"`   // the machine is cold at first and is heated in its course
	Cuts      bool      `yaml:"cuts"`    // the machine loses its power in its course
	Covers    []string  `yaml:"covers"`  // ids of tasks of the same part that need no doing where this one was done
	Findings  Findings  `yaml:"findings"`
	Records   Measured  `yaml:"records"` // the measurement that does this task; empty for other work
	Gauges    []Gauge   `yaml:"gauges"`
	Tolerance Tolerance `yaml:"tolerance"`
	AtStake   float64   `yaml:"at_stake"` // minutes of an owner's time that lateness can cost at the most for each life that is missed
	Hazards   []string  `yaml:"hazards"`  // ids, worst first
	Parts     []string  `yaml:"parts"`    // parts and consumables, of which one turn uses up one each
	Tools     []string  `yaml:"tools"`    // what else to have there: tools, and what a household has
	Order     string    `yaml:"order"`    // id of the order of making safe; its lines come first
	MakeSafe  []string  `yaml:"make_safe"`
	Steps     []string  `yaml:"steps"`
	Refuse    string    `yaml:"refuse"` // when the owner must not do it
	Good      string    `yaml:"good"`   // what a good result looks like
	NoteDown  []string  `yaml:"note_down"`
	Otherwise []string  `yaml:"otherwise"` // what to do if something else is found
	AskFor    []string  `yaml:"ask_for"`   // of booked work: what to book
	Check     []string  `yaml:"check"`     // of booked work: how to see that it was done

	Cautions []string `yaml:"-"` // of a task of the owner's own, which names no hazard
}

// Tolerance tells how far from its date a task may be done. Its figures are
// shares of the part's life, common practice or assumptions.
type Tolerance struct {
	Early float64 `yaml:"early"` // life thrown away from which doing it early is waste, 0 to 1
	Late  float64 `yaml:"late"`  // life beyond the limit from which lateness does harm, 0 or more
	Harm  string  `yaml:"harm"`  // what lateness does
}

// SafeOrder is an order of making safe that several tasks share.
type SafeOrder struct {
	ID    string   `yaml:"id"`
	Lines []string `yaml:"lines"`
}

// Per tells what there is one task for.
type Per string

// What a task can be bound to.
const (
	PerMachine   Per = "machine"
	PerGroup     Per = "group"
	PerVessel    Per = "vessel"
	PerCartridge Per = "cartridge"
	PerGrinder   Per = "grinder"
	PerLine      Per = "line"
	PerTools     Per = "tools"
)

// Pers lists them.
func Pers() []Per {
	return []Per{PerMachine, PerGroup, PerVessel, PerCartridge, PerGrinder, PerLine, PerTools}
}

// Who may do the work.
type Who string

// Those who may do the work. Local codes decide where they say more.
const (
	Owner      Who = "owner"
	HandyOwner Who = "handy owner" // can, with some skill
	Workshop   Who = "workshop"    // is advisable
	Licensed   Who = "licensed"    // law or safety ask for licensed people
)

// Booked tells whether the work is for a workshop or for licensed people: it is
// booked with them and never explained.
func (w Who) Booked() bool { return w == Workshop || w == Licensed }

// People returns whom to call for booked work, in words.
func (w Who) People() string {
	if w == Licensed {
		return "licensed people"
	}
	return "a workshop"
}

// Wait is a time in the work at which hands are free.
type Wait struct {
	After   float64 `yaml:"after"`   // minutes of hands before it, counted from the beginning of the work
	Minutes float64 `yaml:"minutes"` // that it lasts
	For     string  `yaml:"for"`     // what is waited for, in a word or two
	Source  string  `yaml:"source"`
}

// Hands gives the minutes of the work at which hands are needed.
func (t *Task) Hands() float64 {
	hands := t.Minutes
	for _, w := range t.Waits {
		hands -= w.Minutes
	}
	return hands
}

// Ids of tasks that the program knows by name.
const (
	changeCartridge = "cartridge"
	regenerate      = "regenerate"
	fillSalt        = "salt"
	waterTest       = "water-test"
	testBehind      = "test-behind"
)

// ChangesCartridge reports whether a cartridge is a new one, or its resin as good as
// new, once the task was done.
func (t *Task) ChangesCartridge() bool {
	return t.ID == changeCartridge || t.ID == regenerate || t.ID == fillSalt
}

// TestsWater reports whether a water test, written down with its values, does the
// task: one of the raw water, or one behind a cartridge.
func (t *Task) TestsWater() bool { return t.ID == waterTest || t.ID == testBehind }

// TestsBehind reports whether the task is a test of the water behind a cartridge,
// which comes sooner as that nears its end.
func (t *Task) TestsBehind() bool { return t.ID == testBehind }

// perilous are the hazards of work that is no routine, however often it comes:
// nobody should get used to it.
var perilous = []string{"acid", "acid-gas", "dry-element", "stored-spring", "back-siphonage", "frost", "lifting"}

// Small tells whether the task is small care: an owner's, without skill, and
// nobody's safety hangs on it, neither when it is done nor when it is left out.
func (t *Task) Small() bool {
	return t.Who == Owner && !t.Safety && !slices.ContainsFunc(t.Hazards, func(h string) bool { return slices.Contains(perilous, h) })
}

// Findings names the kind of finding a task records.
type Findings string

// Kinds of findings.
const (
	FindsNothing Findings = "none"
	FindsScale   Findings = "scale"
	FindsPart    Findings = "part"
)

// Gauge is one measure of wear as the catalogue describes it.
type Gauge struct {
	Name     string   `yaml:"name"`
	Driver   Driver   `yaml:"driver"`
	Measures Measured `yaml:"measures"` // of a trend: what is measured
	Counts   Counts   `yaml:"counts"`   // of a trend: which way from its reference it wears
	Unit     string   `yaml:"unit"`     // of the limits
	Limits   []Limit  `yaml:"limits"`
	Factors  []Factor `yaml:"factors"` // all that fit multiply the limit
}

// Measured names a kind of condition check, as records name it.
type Measured string

// Counts tells which way a measured value wears.
type Counts string

// Which way a measured value wears.
const (
	Loss   Counts = "loss"   // below its reference
	Rise   Counts = "rise"   // above its reference
	Either Counts = "either" // away from its reference, whichever way
)

// Limit is where a gauge reads 1. One part in ten is there at Low, half at
// Usual, nine in ten at High.
type Limit struct {
	For    []string `yaml:"for"` // words that must all be true of the part
	Low    float64  `yaml:"low"`
	Usual  float64  `yaml:"usual"`
	High   float64  `yaml:"high"`
	Source string   `yaml:"source"` // where the figures come from
}

// Percentiles gives the limit as a distribution over such parts.
func (l Limit) Percentiles() figure.Percentiles {
	return figure.Percentiles{Low: l.Low, Likely: l.Usual, High: l.High}
}

// Factor moves a limit for parts of a sort.
type Factor struct {
	For    []string `yaml:"for"` // words that must all be true of the part
	Times  float64  `yaml:"times"`
	Source string   `yaml:"source"`
}

// Hazard is a way to get hurt and the caution against it.
type Hazard struct {
	ID      string `yaml:"id"`
	Caution string `yaml:"caution"`
}
