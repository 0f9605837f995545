package main

import (
	"fmt"
	"slices"
)

// browserSeen is what .ci/clients/browse.mjs writes of its way through the pages.
type browserSeen struct {
	Browser string
	Windows []windowSeen
	Looks   []pageLook
	Walks   []pageWalk
	Tasks   []taskOrder
	Codes   []codeSeen
	Jobs    []jobSeen
	Repeats []repeatSeen
	Foreign []foreignSeen
	Axe     []axeRun
	Broken  struct {
		Look   pageLook
		Walk   pageWalk
		Task   taskOrder
		Window windowSeen
		Axe    []axeRun
	}
	Seconds map[string]float64
}

// windowSeen is all that went wrong in a window while it was open.
type windowSeen struct {
	Window    string
	Scripts   bool
	Console   []string // errors and warnings, with breaches of the content policy
	Elsewhere []string // requests of other hosts
	Failed    []string // requests that got no answer
	Refused   []string // status and path of answers from 400
	Requests  int
}

func (w windowSeen) faults() []string {
	var all []string
	for what, lines := range map[string][]string{"console": w.Console, "request of another host": w.Elsewhere, "failed request": w.Failed, "refused": w.Refused} {
		for _, l := range lines {
			all = append(all, what+": "+l)
		}
	}
	return all
}

// documentWidth is a document's width in CSS pixels. It scrolls sideways where it
// is wider than its window.
type documentWidth struct {
	ScrollWidth, ClientWidth int
	Over                     []string // elements that stand out
}

// pageLook is a look at a page.
type pageLook struct {
	Window, Page, Title  string
	Closed, Open, Narrow documentWidth // as it comes, with all details open, and so in 320 pixels
	Middle, Doubled      documentWidth // so in 768 pixels, and with text of twice its size
	Small                []string      // what is too small to touch
	Named                map[string]int
	Nameless             []string // roles of controls without a name
	Inputs               int
	Unlabelled           []string
	Contrasts            []struct {
		Scheme, Paper string
		Kind          string // of text
		Count         int
		Ratio         float64 // the lowest of the kind
		Text, Colours string
	}
}

// leastContrast is what text has to have (WCAG 2.2, 1.4.3, level AA). Large text
// could do with 3; none here is let off for its size.
const leastContrast = 4.5

func (l pageLook) faults() []string {
	var all []string
	for how, w := range map[string]documentWidth{"as it comes": l.Closed, "opened": l.Open, "in 320 pixels": l.Narrow, "in 768 pixels": l.Middle, "with text of twice its size": l.Doubled} {
		if w.ScrollWidth > w.ClientWidth {
			all = append(all, fmt.Sprintf("sideways: %s it is %d pixels wide in a window of %d: %q", how, w.ScrollWidth, w.ClientWidth, w.Over))
		}
	}
	for _, control := range l.Small {
		all = append(all, "small: "+control)
	}
	for _, role := range l.Nameless {
		all = append(all, "nameless: "+role)
	}
	for _, input := range l.Unlabelled {
		all = append(all, "unlabelled: "+input)
	}
	for _, c := range l.Contrasts {
		if !(c.Ratio >= leastContrast) {
			all = append(all, fmt.Sprintf("contrast: %s in %s: %.2f to 1, %s: %q", c.Kind, c.Scheme, c.Ratio, c.Colours, c.Text))
		}
	}
	return all
}

// pageWalk is a way through a page by keyboard.
type pageWalk struct {
	Window, Page string
	Stops        []struct {
		Says      string
		Outline   string // style of the outline of what is in focus
		Width     float64
		InWindow  bool
		Backwards bool // it stands before the stop it came after
	}
	Missed []string // controls without a stop
	Fields []string // stops in forms, by name
}

func (w pageWalk) faults() []string {
	var all []string
	for _, s := range w.Stops {
		if s.Outline == "none" || s.Width < 1 {
			all = append(all, "no outline: "+s.Says)
		}
		if !s.InWindow {
			all = append(all, "focus out of sight: "+s.Says)
		}
		if s.Backwards {
			all = append(all, "out of order: "+s.Says)
		}
	}
	for _, m := range w.Missed {
		all = append(all, "never reached: "+m)
	}
	return all
}

// placed tells whether something comes after the cautions.
type placed struct{ InDocument, OnScreen bool }

// taskOrder is what comes first on the page of a task.
type taskOrder struct {
	Window, Page               string
	Cautions, MakeSafe         int
	Steps, Book, Forms, Record []placed
}

func (o taskOrder) faults() []string {
	var all []string
	if o.Cautions == 0 || o.MakeSafe == 0 {
		all = append(all, fmt.Sprintf("%d cautions and %d things to make safe", o.Cautions, o.MakeSafe))
	}
	for what, places := range map[string][]placed{"steps": o.Steps, "what to ask for": o.Book, "form": o.Forms, "record": o.Record} {
		if slices.ContainsFunc(places, func(p placed) bool { return !p.InDocument }) {
			all = append(all, what+" before the cautions in the document")
		}
		if slices.ContainsFunc(places, func(p placed) bool { return !p.OnScreen }) {
			all = append(all, what+" before the cautions on the screen")
		}
	}
	return all
}

// codeSeen is a QR code as it was read off the screen, with what stands beside it.
type codeSeen struct{ Window, Of, Scheme, Read, Link, Shown string }

// filledIn is what stood in a form.
type filledIn struct{ Date, Finding, Note string }

// jobSeen is the way from the list to a task written down.
type jobSeen struct {
	Window, Task string
	Filled, Kept filledIn // before and after the form was refused
	Mistake      int      // status
	Problem      struct {
		Invalid, Text, Summary string
		SameField              bool
	}
	Jumped  string // what is in focus after the link of the message
	Status  int
	URL     string
	Today   string
	Notice  string
	History []string // the record's lines
}

// repeatSeen is a form that was sent more than once.
type repeatSeen struct {
	Window, Task, How, Note    string
	First, Again, Second, Back string // addresses
	Kept                       string // note in the form when it was sent again
}

// foreignSeen is a form of ours sent by a page of another site.
type foreignSeen struct {
	From, To, Says string
	Status         int
}

// axeRun is axe-core at work on a page.
type axeRun struct {
	Window, Page, Version string
	Whole                 bool     // all rules ran, not those alone that the window matters to
	Rules                 int      // chosen
	Applied               []string // rules that found something to look at, and it was good
	Violations            []struct {
		Rule, Impact string
		Where        []string
	}
	Undecided []string
}

// faults are the violations that keep somebody from using a page.
func (a axeRun) faults() []string {
	var all []string
	for _, v := range a.Violations {
		if v.Impact == "serious" || v.Impact == "critical" {
			all = append(all, fmt.Sprintf("axe: %s, %s: %q", v.Rule, v.Impact, v.Where))
		}
	}
	return all
}
