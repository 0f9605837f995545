package picture

import (
	"cmp"
	"strconv"
	"strings"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/water/figure"
)

// Machine is a machine cut open, with the way of its water from the supply to the
// cup, and the grinders beside it. Each part shows its gauge and leads to its page.
type Machine struct {
	ID        string // its own on the page
	Title     string
	Whole     Part // what is about the machine as a whole
	Tank      bool // its water comes from a tank, not from the mains
	Supply    Part
	Treatment []Part // in the order the water meets it
	Pump      *Part  // nil where it has none
	Vessels   []Vessel
	Groups    []Group
	Wand      *Part // nil where it has none
	HotTap    bool  // for hot water
	Grinders  []Grinder
}

// Part is something that wears and has a page.
type Part struct {
	Name    string // on the drawing, where there is little room
	What    string // in full, for those who do not see it
	Page    string // address; empty for none
	Gauge   string // what wears: the gauge that stands highest; empty where nothing of it wears
	Reading figure.Percentiles
	Past    []string // what else of it is past its limit
}

// Vessel is what holds hot water.
type Vessel struct {
	Part
	Kind     VesselKind
	Celsius  float64 // 0 where unknown
	Material Material
}

// VesselKind is what a vessel is.
type VesselKind int

// Kinds of vessels.
const (
	BrewBoiler VesselKind = iota
	SteamBoiler
	HeatExchanger
	Thermoblock
)

// Material is what a wall is made of, for its colour.
type Material string

// Group is where the portafilter locks in.
type Group struct {
	Part
	Drive GroupDrive
}

// GroupDrive is how a group is worked.
type GroupDrive int

// How groups are worked.
const (
	ByPump       GroupDrive = iota
	ByCam                   // a small lever opens the valves for a pump
	ByLever                 // a piston driven by hand
	BySpringDown            // a piston that a spring drives
)

// Grinder grinds for the machine.
type Grinder struct {
	Part
	Hand bool
}

// Where things stand on the drawing. Heights are those of one with its grinder
// beside it.
const (
	machineWidth  = 400.0
	bodyLeft      = 98.0
	bodyTop       = 12.0
	bodyFoot      = 270.0
	vesselTop     = 28.0
	vesselFoot    = 194.0
	coldPipe      = 207.0
	hotPipe       = 262.0
	pumpLine      = 234.0
	groupLine     = 294.0
	trayTop       = 378.0
	baseTop       = 394.0
	counter       = 444.0
	captionLine   = 462.0
	grinderHeight = 232.0
	shelfGap      = 8.0 // between the machine’s counter and the grinders beneath
)

// layout is where the parts of one machine go.
type layout struct {
	bodyRight float64
	beside    bool // one grinder stands to the right
	height    float64
}

// layoutOf gives a machine with many groups, or several grinders, all the width,
// and puts the grinders on a shelf of their own beneath.
func (m Machine) layout() layout {
	l := layout{bodyRight: 282, beside: true, height: captionLine + 26}
	switch {
	case len(m.Grinders) == 0:
		l = layout{bodyRight: 356, height: captionLine + 26}
	case len(m.Grinders) > 1 || len(m.Groups) > 2 || m.slots() > 3:
		l = layout{bodyRight: 356, height: captionLine + 26 + shelfGap + grinderHeight*float64((len(m.Grinders)+grindersARow-1)/grindersARow)}
	}
	return l
}

// Draw draws the machine.
func (m Machine) Draw(w Writing) Picture {
	on := canvas{links: true}
	l := m.layout()
	on.line(4, counter, machineWidth-4, counter, "counter")
	m.body(&on, l)
	m.pipes(&on, l)
	m.supply(&on, w)
	m.vessels(&on, w, l)
	m.pump(&on, w)
	m.wand(&on, w, l)
	m.groups(&on, w, l)
	m.base(&on, w, l)
	m.grinders(&on, w, l)
	legend(&on, l.height-26)
	return finish(&on, m.ID, "machine", m.Title, m.says(w), machineWidth, l.height, m.table(w))
}

// legend tells the pipes apart, at the foot of the picture.
func legend(on *canvas, y float64) {
	at := 8.0
	for _, kind := range []struct{ class, name string }{{"cold", wording.ColdWater}, {"hot", wording.HotWater}, {"steam", wording.Steam}} {
		on.line(at, y+8, at+26, y+8, "pipe "+kind.class)
		on.text(at+32, y+12, "start", "words", kind.name)
		at += 48 + 6.6*float64(len(kind.name))
	}
	on.line(at, y+8, at+20, y+8, "level-limit")
	on.text(at+26, y+12, "start", "words", "limit")
}

// part draws something that leads to its page.
func (c *canvas) part(w Writing, p Part, x, y, width, height float64, draw func()) {
	if p.Page == "" {
		draw()
		return
	}
	c.open("a", "href", p.Page, "class", "part")
	c.words("title", p.says(w))
	c.rect(x, y, width, height, 6, "reach")
	draw()
	if n := len(p.Past); n > 0 {
		// What the gauge does not show.
		c.circle(x+width-6, y+6, 10.5, "badge-past")
		c.text(x+width-6, y+10, "middle", "badge-words", "+"+strconv.Itoa(n))
	}
	c.close("a")
}

// says tells how a part stands.
func (p Part) says(w Writing) string {
	name := cmp.Or(p.What, p.Name)
	if p.Gauge != "" {
		name = wording.PartStands(name, p.Gauge, w.percent(p.Reading.Likely), State(p.Reading.Likely))
	}
	if len(p.Past) > 0 {
		name = wording.PastAsWell(name, strings.Join(p.Past, ", "))
	}
	return name
}

// number writes a part's reading; a dash where nothing of it wears.
func (p Part) number(w Writing) string {
	if p.Gauge == "" {
		return "–"
	}
	return either(p.Reading.Likely >= 1, "▲", "") + w.percent(p.Reading.Likely)
}

// inRing writes a part's reading in the middle of its ring, of which the open foot has
// room for the mark of what is past its limit.
func (p Part) inRing(on *canvas, w Writing, x, y, foot float64) {
	number := strings.TrimPrefix(p.number(w), "▲")
	on.text(x, y, "middle", either(len([]rune(number)) > 4, "words small tight strong", "words strong")+" "+p.class(), number)
	if p.Gauge != "" && p.Reading.Likely >= 1 {
		on.path(trace([]spot{{x - 5, foot}, {x, foot - 8}, {x + 5, foot}})+"Z", "mark-past")
	}
}

// class names how far a part is, for the style sheet.
func (p Part) class() string {
	if p.Gauge == "" {
		return "none"
	}
	return level(p.Reading.Likely)
}

// parts are all parts, in the order the water meets them.
func (m Machine) parts() []Part {
	all := append([]Part{m.Supply}, m.Treatment...)
	if m.Pump != nil {
		all = append(all, *m.Pump)
	}
	for _, v := range m.Vessels {
		all = append(all, v.Part)
	}
	for _, g := range m.Groups {
		all = append(all, g.Part)
	}
	if m.Wand != nil {
		all = append(all, *m.Wand)
	}
	all = append(all, m.Whole)
	for _, g := range m.Grinders {
		all = append(all, g.Part)
	}
	return all
}

func (m Machine) says(w Writing) string {
	var parts []string
	for _, p := range m.parts() {
		parts = append(parts, p.says(w))
	}
	return wording.WayOfTheWater(strings.Join(parts, "; "))
}

func (m Machine) table(w Writing) Table {
	t := Table{Head: []string{wording.Part, wording.WhatStandsHighest, wording.Likely, wording.Low, wording.High}}
	for _, p := range m.parts() {
		row := []string{cmp.Or(p.What, p.Name), cmp.Or(p.Gauge, wording.NothingThatWears), "", "", ""}
		if p.Gauge != "" {
			row[2], row[3], row[4] = w.percent(p.Reading.Likely), w.percent(p.Reading.Low), w.percent(p.Reading.High)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
