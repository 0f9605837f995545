package picture

import (
	"strings"

	"limekeep/cmd/limekeep/web/wording"
)

// body draws the case: what stands on the counter, open in front.
func (m Machine) body(on *canvas, l layout) {
	// The rail that keeps cups on top.
	on.path(trace([]spot{{bodyLeft + 20, bodyTop}, {bodyLeft + 20, bodyTop - 8}, {l.bodyRight - 20, bodyTop - 8}, {l.bodyRight - 20, bodyTop}}), "rail")
	on.rect(bodyLeft, bodyTop, l.bodyRight-bodyLeft, bodyFoot-bodyTop, 14, "case")
	// The back between body and tray.
	on.rect(bodyLeft+10, bodyFoot, l.bodyRight-bodyLeft-20, trayTop-bodyFoot, 0, "back")
}

// base draws tray and base, which stand for the machine as a whole.
func (m Machine) base(on *canvas, w Writing, l layout) {
	width := l.bodyRight - bodyLeft
	on.part(w, m.Whole, bodyLeft-4, trayTop-2, width+8, counter-trayTop+4, func() {
		on.rect(bodyLeft-4, trayTop, width+8, baseTop-trayTop, 3, "tray")
		for x := bodyLeft + 6; x < l.bodyRight-4; x += 9 {
			on.line(x, trayTop+4, x, baseTop-4, "grate")
		}
		on.rect(bodyLeft, baseTop, width, counter-baseTop-5, 6, "case")
		for _, x := range []float64{bodyLeft + 14, l.bodyRight - 26} {
			on.rect(x, counter-5, 12, 5, 1, "foot")
		}
		on.text(bodyLeft+12, baseTop+17, "start", "words strong", shortened(m.Whole.Name, int((width-24)/6.8)))
		bar(on, m.Whole, bodyLeft+12, baseTop+26, width-88)
		on.text(l.bodyRight-12, baseTop+35, "end", "reading "+m.Whole.class(), m.Whole.number(w))
	})
}

// bar draws a gauge that lies: what is used up, and the limit at two thirds.
func bar(on *canvas, p Part, x, y, width float64) {
	on.rect(x, y, width, 6, 2, "level-track")
	if p.Gauge != "" {
		on.rect(x, y, max(width*min(p.Reading.Likely, dialMost)/dialMost, 1), 6, 2, "level-bar "+p.class())
	}
	at := x + width/dialMost
	on.line(at, y-2, at, y+8, "level-limit")
}

// slots is how many vessels stand side by side: a heat exchanger lies in the steam
// boiler.
func (m Machine) slots() int {
	n := 0
	for _, v := range m.Vessels {
		if v.Kind != HeatExchanger {
			n++
		}
	}
	if n == 0 {
		return max(len(m.Vessels), 1)
	}
	return n
}

// placed is a vessel with its place in the case.
type placed struct {
	Vessel
	x, y, width, height float64
	within              bool // it lies in another
	holds               bool // another lies in it
}

func (p placed) middle() float64 { return p.x + p.width/2 }

// place gives every vessel its place, the brewing ones first.
func (m Machine) place(l layout) []placed {
	var standing, exchangers, all []placed
	for _, kind := range []VesselKind{BrewBoiler, Thermoblock, SteamBoiler} {
		for _, v := range m.Vessels {
			if v.Kind == kind {
				standing = append(standing, placed{Vessel: v})
			}
		}
	}
	for _, v := range m.Vessels {
		if v.Kind == HeatExchanger {
			exchangers = append(exchangers, placed{Vessel: v})
		}
	}
	if len(standing) == 0 {
		standing, exchangers = exchangers, nil
	}
	const gap = 12
	total := l.bodyRight - bodyLeft - 2*gap
	// A steam boiler, and what lies in it, is given more room.
	weight := func(p placed) float64 {
		if p.Kind == SteamBoiler {
			return 1.2 + 0.5*float64(len(exchangers))
		}
		return 1
	}
	sum := 0.0
	for _, p := range standing {
		sum += weight(p)
	}
	x := bodyLeft + gap
	host := -1
	for i := range standing {
		p := &standing[i]
		p.width = (total - gap*float64(len(standing)-1)) * weight(*p) / max(sum, 1)
		p.x, p.y, p.height = x, vesselTop, vesselFoot-vesselTop
		x += p.width + gap
		if p.Kind == SteamBoiler || host < 0 {
			host = i
		}
	}
	all = append(all, standing...)
	for i, p := range exchangers {
		outer := standing[host]
		all[host].holds = true
		room := (outer.width - 16) / float64(len(exchangers))
		p.x, p.width, p.within = outer.x+8+room*float64(i)+2, room-4, true
		p.height, p.y = 62, vesselFoot-62-10
		all = append(all, p)
	}
	return all
}

func (m Machine) vessels(on *canvas, w Writing, l layout) {
	all := m.place(l)
	holds := false
	for _, p := range all {
		holds = holds || p.within
	}
	for _, p := range all {
		height := p.height
		if holds && !p.within && p.Kind == SteamBoiler {
			height -= 74 // what lies in it is followed by itself
		}
		on.part(w, p.Part, p.x, p.y, p.width, height, func() {
			if p.within {
				p.tube(on, w)
			} else {
				p.boiler(on, w, holds && p.Kind == SteamBoiler)
			}
		})
	}
}

// steamSpace is the share of a steam boiler above its water: less than what is above
// the limit, so that the two lines stand apart.
const steamSpace = 0.25

// boiler draws a vessel that stands by itself: its wall, its water, its scale as a
// layer that grows from the foot.
func (p placed) boiler(on *canvas, w Writing, holds bool) {
	corner := 20.0
	if p.Kind == Thermoblock {
		corner = 4
	}
	on.rect(p.x, p.y, p.width, p.height, corner, "vessel")
	surface := p.y + 3
	if p.Kind == SteamBoiler {
		surface = p.y + steamSpace*p.height
	}
	// A block is metal with a way through it; all else is full of water.
	on.path(sunk(p.x+3, surface, p.width-6, p.y+p.height-3, max(corner-3, 1)), either(p.Kind == Thermoblock, "block", "water"))
	if p.Kind == SteamBoiler {
		waves(on, p.x+3, surface, p.width-6)
	}
	p.layer(on, p.x+3, p.width-6, max(corner-3, 1))
	on.rect(p.x+8, p.y+corner, 4, p.height*0.42, 2, "gloss")
	if p.Kind == Thermoblock {
		p.channel(on)
	} else if !holds {
		element(on, p.x+p.width*0.2, p.y+p.height-26, p.width*0.6)
	}
	on.rect(p.x, p.y, p.width, p.height, corner, "wall "+strings.ReplaceAll(string(p.Material), " ", "-"))
	middle := p.middle()
	on.text(middle, p.y+20, "middle", "words strong", shortened(p.Name, int(p.width/7.2)))
	if p.Celsius > 0 {
		on.text(middle, p.y+35, "middle", "words", w.number(p.Celsius, 0)+" °C")
	}
	at := p.y + 82
	if holds {
		at = p.y + 80
	}
	on.text(middle, at, "middle", either(p.width < 92, "reading", "number")+" halo "+p.class(), p.number(w))
	if p.Gauge != "" && p.Reading.Likely >= 0.8 && !holds { // what lies in it has that place
		on.text(middle, at+16, "middle", "words halo", either(p.Reading.Likely >= 1, wording.PastLimit, wording.CloseToLimit))
	}
}

// layer draws the gauge of a vessel: a crust with a jagged top, and the limit.
func (p placed) layer(on *canvas, x, width, corner float64) {
	foot, room := p.y+p.height-3, p.height-6
	if p.Gauge == "" {
		return
	}
	share := min(max(p.Reading.Likely, 0), dialMost) / dialMost
	// Its top stays clear of the vessel's name, however far past its limit it is.
	top := max(foot-room*share, p.y+either2(p.within, 26, 46))
	if share > 0 {
		on.path(crust(x, top, width, foot, min(corner, room*share/2+1)), "crust "+p.class())
	}
	limitOf(on, x, width, foot-room/dialMost, p.within)
}

// limitOf draws where the limit is: right across, or at the sides where a text
// stands between.
func limitOf(on *canvas, x, width, y float64, sides bool) {
	if !sides {
		on.line(x+1, y, x+width-1, y, "level-limit")
		return
	}
	on.line(x+1, y, x+8, y, "level-limit")
	on.line(x+width-8, y, x+width-1, y, "level-limit")
}

// crust is the outline of a layer with lumps on top.
func crust(x, top, width, foot, corner float64) string {
	const lump = 10.0
	n := max(int(width/lump), 2)
	step := width / float64(n)
	d := "M" + decimal(x) + " " + decimal(min(top+2, foot))
	for i := range n {
		at := x + step*float64(i)
		d += "Q" + decimal(at+step/2) + " " + decimal(min(top-5-float64(i*7%5), foot)) + " " + decimal(at+step) + " " + decimal(min(top+2-float64(i*5%3), foot))
	}
	return d + "L" + decimal(x+width) + " " + decimal(foot-corner) +
		"Q" + decimal(x+width) + " " + decimal(foot) + " " + decimal(x+width-corner) + " " + decimal(foot) +
		"L" + decimal(x+corner) + " " + decimal(foot) + "Q" + decimal(x) + " " + decimal(foot) + " " + decimal(x) + " " + decimal(foot-corner) + "Z"
}

// sunk is a body of water with a level top and round lower corners.
func sunk(x, top, width, foot, corner float64) string {
	return "M" + decimal(x) + " " + decimal(top+corner/3) + "Q" + decimal(x) + " " + decimal(top) + " " + decimal(x+corner/3) + " " + decimal(top) +
		"L" + decimal(x+width-corner/3) + " " + decimal(top) + "Q" + decimal(x+width) + " " + decimal(top) + " " + decimal(x+width) + " " + decimal(top+corner/3) +
		"L" + decimal(x+width) + " " + decimal(foot-corner) +
		"Q" + decimal(x+width) + " " + decimal(foot) + " " + decimal(x+width-corner) + " " + decimal(foot) +
		"L" + decimal(x+corner) + " " + decimal(foot) + "Q" + decimal(x) + " " + decimal(foot) + " " + decimal(x) + " " + decimal(foot-corner) + "Z"
}

// waves draws a surface.
func waves(on *canvas, x, y, width float64) {
	d := "M" + decimal(x) + " " + decimal(y)
	n := max(int(width/16), 2)
	step := width / float64(n)
	for i := range n {
		at := x + step*float64(i)
		d += "Q" + decimal(at+step/4) + " " + decimal(y-3) + " " + decimal(at+step/2) + " " + decimal(y) +
			"T" + decimal(at+step) + " " + decimal(y)
	}
	on.path(d, "surface")
}

// element draws an immersed heater.
func element(on *canvas, x, y, width float64) {
	d := "M" + decimal(x) + " " + decimal(y+18)
	const loops = 4
	step := width / loops
	for i := range loops {
		at := x + step*float64(i)
		d += "C" + decimal(at) + " " + decimal(y-6) + " " + decimal(at+step) + " " + decimal(y-6) + " " + decimal(at+step) + " " + decimal(y+18)
	}
	on.path(d, "element")
}

// channel draws the winding way through a block.
func (p placed) channel(on *canvas) {
	left, right := p.x+12, p.x+p.width-12
	y := p.y + 96
	d := "M" + decimal(left) + " " + decimal(y)
	for i := 0; y < p.y+p.height-24; i++ {
		side := either2(i%2 == 0, right, left)
		d += "L" + decimal(side) + " " + decimal(y)
		y += 14
		d += "L" + decimal(side) + " " + decimal(y)
	}
	on.path(d, "channel")
}

// tube draws a heat exchanger that lies in a boiler.
func (p placed) tube(on *canvas, w Writing) {
	on.rect(p.x, p.y, p.width, p.height, 16, "vessel")
	on.rect(p.x+3, p.y+3, p.width-6, p.height-6, 13, "water")
	p.layer(on, p.x+3, p.width-6, 13)
	on.rect(p.x, p.y, p.width, p.height, 16, "wall "+strings.ReplaceAll(string(p.Material), " ", "-"))
	middle := p.middle()
	on.text(middle, p.y+18, "middle", "words strong", shortened(p.Name, int(p.width/7.6)))
	on.text(middle, p.y+40, "middle", "reading halo "+p.class(), p.number(w))
	if p.Celsius > 0 && p.width >= 56 {
		on.text(middle, p.y+55, "middle", "words small", w.number(p.Celsius, 0)+" °C")
	}
}
