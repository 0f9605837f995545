package checklist

import (
	"fmt"
	"slices"
	"time"

	"limekeep/schedule/record"
)

// Checklist is a sitting that was begun, with what has been done of it.
type Checklist struct {
	Planned  time.Time `json:"planned"` // when the plan had it begin
	Begun    time.Time `json:"begun"`
	Ended    time.Time `json:"ended,omitzero"` // zero while it goes on
	Minutes  float64   `json:"minutes"`        // that it was planned to take
	Cautions []string  `json:"cautions"`       // each once
	Parts    []string  `json:"parts"`          // to have there, and used up
	Tools    []string  `json:"tools"`          // to have there
	Items    []Item    `json:"items"`          // in the order in which to go through them
	Before   []Dated   `json:"before"`         // when tasks were likely due as it began

	Visit int64  `json:"visit,omitempty"` // record of the visit that was booked; 0 for none
	By    string `json:"by,omitempty"`    // who came to do it; empty where nobody said
}

// Item is one line of a checklist.
type Item struct {
	Kind    Kind     `json:"kind"`
	Says    string   `json:"says"`
	Lines   []string `json:"lines,omitempty"`   // what to make safe, in this order
	Also    []Lines  `json:"also,omitempty"`    // what single tasks ask for on top of it
	Doses   []string `json:"doses,omitempty"`   // of a descaling: what to weigh, and when it is done
	Task    string   `json:"task,omitempty"`    // whose work or wait it is
	Title   string   `json:"title,omitempty"`   // of that task; of what is made safe, of all it is for
	Name    string   `json:"name,omitempty"`    // of its equipment
	Of      string   `json:"of,omitempty"`      // id of the machine that is switched, heats or cools, or of the equipment that the work is on
	From    float64  `json:"from"`              // minutes after the beginning at which it was planned
	Minutes float64  `json:"minutes,omitempty"` // that it takes
	Last    bool     `json:"last,omitempty"`    // of work: with it the task is written down
	Needs   []int    `json:"needs,omitempty"`   // items that must be confirmed before it
	Before  bool     `json:"before,omitempty"`  // it must have been done when the sitting begins
	Known   int64    `json:"known,omitempty"`   // the highest record of the task as it began, 0 for none

	Started time.Time `json:"started,omitzero"` // of a wait: since when it runs
	Done    time.Time `json:"done,omitzero"`
	Left    bool      `json:"left,omitempty"`   // it is left out this time
	Record  int64     `json:"record,omitempty"` // that the task was written down as
}

// Kind is the kind of an item.
type Kind string

// Kinds of items.
const (
	MakeSafe  Kind = "make safe" // to be confirmed
	Work      Kind = "work"
	Wait      Kind = "wait" // soaking, acid standing, filling
	SwitchOff Kind = "switch off"
	SwitchOn  Kind = "switch on"
	Cooling   Kind = "cooling"
	Heating   Kind = "heating"
)

// Lines is what one task asks for.
type Lines struct {
	Task  string   `json:"task"` // its title
	Lines []string `json:"lines"`
}

// Dated is a task with its likely date.
type Dated struct {
	Task   string       `json:"task"`
	Title  string       `json:"title"`
	Name   string       `json:"name"`
	Likely *record.Date `json:"likely"` // nil beyond the horizon
}

// Runs reports whether the item is a time to wait for, beside which other work goes on.
func (x Item) Runs() bool { return x.Kind == Wait || x.Kind == Cooling || x.Kind == Heating }

// Open reports whether the item is still to be done.
func (x Item) Open() bool { return x.Done.IsZero() && !x.Left }

// Until is when a wait that was started is over; zero for one that was not.
func (x Item) Until() time.Time {
	if x.Started.IsZero() {
		return time.Time{}
	}
	return x.Started.Add(time.Duration(x.Minutes * float64(time.Minute)))
}

// Running reports whether a wait goes on at an instant.
func (x Item) Running(now time.Time) bool {
	return x.Runs() && x.Open() && !x.Started.IsZero() && now.Before(x.Until())
}

// Over reports whether a wait was started and is over by an instant.
func (x Item) Over(now time.Time) bool {
	return x.Runs() && x.Open() && !x.Started.IsZero() && !now.Before(x.Until())
}

// Over reports whether the sitting was ended.
func (c *Checklist) Over() bool { return !c.Ended.IsZero() }

// Current returns the place of the first item that is to be done now; -1 where all
// that is left is to wait, or nothing. A wait that runs is passed over, which is what
// it is for, and with it what waits for it: the rest of its task, and what was planned
// on a machine for when that is hot or cold.
func (c *Checklist) Current(now time.Time) int {
	var running []Item
	for i, x := range c.Items {
		switch {
		case !x.Open():
		case slices.ContainsFunc(running, func(r Item) bool { return x.waitsFor(r) }):
		case x.Running(now):
			running = append(running, x)
		default:
			return i
		}
	}
	return -1
}

// waitsFor reports whether an item cannot be begun while a wait before it runs.
func (x Item) waitsFor(r Item) bool {
	if r.Kind == Wait {
		return x.Task == r.Task && x.Kind != MakeSafe
	}
	return x.Of == r.Of && (x.Runs() || x.From >= r.From+r.Minutes)
}

// Tasks counts the tasks that are done, left out and in all.
func (c *Checklist) Tasks() (done, left, all int) {
	for _, x := range c.Items {
		if !x.Last {
			continue
		}
		all++
		switch {
		case x.Left:
			left++
		case !x.Done.IsZero():
			done++
		}
	}
	return done, left, all
}

// Unsafe returns the places of items that must be confirmed before one and are not.
func (c *Checklist) Unsafe(i int) []int {
	return slices.DeleteFunc(slices.Clone(c.Items[i].Needs), func(n int) bool { return !c.Items[n].Done.IsZero() })
}

// NotSafeError says that something must be made safe first.
type NotSafeError struct{ Item string }

// Error says what comes first.
func (e *NotSafeError) Error() string {
	return fmt.Sprintf("%s: first confirm that it is safe; nothing was written", e.Item)
}

// OutOfRangeError says that a checklist has no such item, or none to which that can
// be done.
type OutOfRangeError struct{ Item int }

// Error says which.
func (e *OutOfRangeError) Error() string {
	return fmt.Sprintf("the checklist has no item %d to which that can be done", e.Item+1)
}

// at returns an item that can be changed.
func (c *Checklist) at(i int) (*Item, error) {
	if i < 0 || i >= len(c.Items) || c.Over() {
		return nil, &OutOfRangeError{i}
	}
	return &c.Items[i], nil
}
