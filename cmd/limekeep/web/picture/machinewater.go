package picture

import (
	"math"
	"slices"
)

// Where the water comes from.
const (
	columnLeft  = 10.0
	columnWidth = 72.0
	columnMid   = columnLeft + columnWidth/2
	stageHeight = 64.0
	stagesTop   = 76.0 // no stage stands higher
	supplyTop   = 374.0
	pumpMid     = bodyLeft + 28
	leastJog    = 16.0 // a pipe that would go aside by less goes straight
)

// stages gives the height of each stage, the first the lowest.
func (m Machine) stages() (height float64, tops []float64) {
	height = stageHeight
	if n := len(m.Treatment); n > 0 {
		height = min(height, (supplyTop-stagesTop)/float64(n))
	}
	for i := range m.Treatment {
		tops = append(tops, supplyTop-height*float64(i+1))
	}
	return height, tops
}

// pipes draws the way of the water, behind all parts.
func (m Machine) pipes(on *canvas, l layout) {
	_, tops := m.stages()
	top := supplyTop
	if len(tops) > 0 {
		top = slices.Min(tops)
	}
	// From the supply up to the case and to the pump.
	enter := min(pumpLine, top-12)
	pumpX, between := pumpMid, bodyLeft-8
	on.path(trace([]spot{{columnMid, supplyTop + 20}, {columnMid, enter}, {between, enter}, {between, pumpLine}, {pumpX, pumpLine}, {pumpX, coldPipe}}), "pipe cold")
	all := m.place(l)
	right := pumpX
	for _, p := range all {
		at := p.inlet()
		if math.Abs(at-pumpX) < leastJog {
			at = pumpX // straight up, without a kink
		}
		right = max(right, at)
		on.path(trace([]spot{{at, coldPipe}, {at, p.y + p.height - 4}}), "pipe cold")
	}
	on.line(pumpX, coldPipe, right, coldPipe, "pipe cold")
	m.hot(on, l, all)
}

// inlet and outlet are where cold water comes in and hot water goes out.
func (p placed) inlet() float64 {
	if p.holds {
		return p.x + 16 // beside those of what lies in it
	}
	return p.x + p.width*0.3
}

func (p placed) outlet() float64 { return p.x + p.width*0.7 }

// brews reports whether a vessel's water goes through the groups: of a machine
// that has nothing else, the steam boiler's does.
func brews(all []placed) []placed {
	var some []placed
	for _, p := range all {
		if p.Kind != SteamBoiler {
			some = append(some, p)
		}
	}
	if len(some) == 0 {
		return all
	}
	return some
}

// hot draws hot water to the groups, and steam to the wand. Where there is a
// brewing vessel for each group, each has its own way.
func (m Machine) hot(on *canvas, l layout, all []placed) {
	sources, groups := brews(all), m.groupPlaces(l)
	own := len(sources) == len(groups)
	// Each way has a height of its own where they would run into each other.
	step := 0.0
	for i := 1; own && i < len(sources); i++ {
		if min(sources[i].outlet(), groups[i]) < max(sources[i-1].outlet(), groups[i-1])+6 {
			step = 8
		}
	}
	low, high := machineWidth, 0.0
	for i, p := range sources {
		at := p.outlet()
		y := hotPipe
		if own {
			y = hotPipe - step*float64(len(sources)-1-i)
			on.path(trace([]spot{{at, p.y + p.height - 4}, {at, y}, {groups[i], y}, {groups[i], groupLine}}), "pipe hot")
			continue
		}
		on.path(trace([]spot{{at, p.y + p.height - 4}, {at, y}}), "pipe hot")
		low, high = min(low, at), max(high, at)
	}
	if !own {
		for _, at := range groups {
			low, high = min(low, at), max(high, at)
			on.line(at, hotPipe, at, groupLine, "pipe hot")
		}
		on.line(low, hotPipe, high, hotPipe, "pipe hot")
	}
	if m.Wand == nil || len(all) == 0 {
		return
	}
	from := all[len(all)-1]
	for _, p := range all {
		if p.Kind == SteamBoiler {
			from = p
			break
		}
	}
	on.path(trace([]spot{{from.x + from.width - 18, from.y + 4}, {from.x + from.width - 18, 20}, {l.bodyRight + 14, 20}, {l.bodyRight + 14, 212}}), "pipe steam")
}

// supply draws tap or tank, and the stages above.
func (m Machine) supply(on *canvas, w Writing) {
	height, tops := m.stages()
	for i, p := range m.Treatment {
		m.stage(on, w, p, tops[i], height)
	}
	on.part(w, m.Supply, columnLeft-6, supplyTop+2, columnWidth+12, counter-supplyTop-2, func() {
		if m.Tank {
			m.tank(on)
		} else {
			m.tap(on)
		}
		on.text(columnMid, counter-24, "middle", "words strong halo", shortened(m.Supply.Name, 10))
		on.text(columnMid, counter-9, "middle", "reading halo "+m.Supply.class(), m.Supply.number(w))
	})
}

// tank draws an open tank.
func (m Machine) tank(on *canvas) {
	on.path(sunk(columnLeft+2, supplyTop+26, columnWidth-4, counter-3, 6), "water")
	waves(on, columnLeft+2, supplyTop+26, columnWidth-4)
	on.path(trace([]spot{{columnLeft, supplyTop + 10}, {columnLeft, counter - 2}, {columnLeft + columnWidth, counter - 2}, {columnLeft + columnWidth, supplyTop + 10}}), "glass")
}

// tap draws a shut-off valve on the pipe that comes out of the wall.
func (m Machine) tap(on *canvas) {
	y := supplyTop + 20
	on.line(0, y, columnMid, y, "pipe cold")
	on.path(trace([]spot{{columnMid - 24, y - 10}, {columnMid + 2, y + 10}, {columnMid + 2, y - 10}, {columnMid - 24, y + 10}})+"Z", "valve")
	on.line(columnMid-11, y, columnMid-11, y-14, "valve")
	on.line(columnMid-20, y-14, columnMid-2, y-14, "valve handle")
}

// stage draws a cartridge: what of it is used up, from the foot.
func (m Machine) stage(on *canvas, w Writing, p Part, top, height float64) {
	on.part(w, p, columnLeft-6, top, columnWidth+12, height, func() {
		x, y, tall := columnLeft, top+5, height-11
		on.rect(x+16, y-4, columnWidth-32, 6, 2, "cap")
		on.rect(x, y, columnWidth, tall, 9, "vessel")
		v := placed{Vessel: Vessel{Part: p}, x: x, y: y, width: columnWidth, height: tall}
		v.used(on)
		on.rect(x, y, columnWidth, tall, 9, "wall")
		on.text(columnMid, y+tall/2+4, "middle", "words strong halo", shortened(p.Name, 10))
		on.text(columnMid, y+tall/2+20, "middle", "reading halo "+p.class(), p.number(w))
	})
}

// used draws what of a cartridge is used up.
func (p placed) used(on *canvas) {
	if p.Gauge == "" {
		return
	}
	room := p.height - 4
	foot := p.y + p.height - 2
	share := min(max(p.Reading.Likely, 0), dialMost) / dialMost
	on.rect(p.x+2, foot-room*share, p.width-4, room*share, min(7, room*share/2), "crust "+p.class())
	limitOf(on, p.x+2, p.width-4, foot-room/dialMost, true)
}

// pump draws the sign of a pump, with a ring as its gauge.
func (m Machine) pump(on *canvas, w Writing) {
	if m.Pump == nil {
		return
	}
	x, y := pumpMid, pumpLine
	p := *m.Pump
	on.part(w, p, x-29, y-29, 58, 58, func() {
		on.circle(x, y, 23, "vessel")
		// The sign of a pump in drawings of pipework, above its reading.
		on.path(trace([]spot{{x - 5, y - 5}, {x, y - 14}, {x + 5, y - 5}})+"Z", "pump")
		ring(on, p, x, y, 21)
		p.inRing(on, w, x, y+8, y+20)
	})
}

// ring draws a gauge around something.
func ring(on *canvas, p Part, x, y, radius float64) {
	on.path(arc(x, y, radius, 0, dialMost), "thin-ring")
	if p.Gauge == "" {
		return
	}
	on.path(arc(x, y, radius, 0, p.Reading.Likely), "thin-fill "+p.class())
	inner, outer := around(x, y, radius-4, 1), around(x, y, radius+4, 1)
	on.line(inner.x, inner.y, outer.x, outer.y, "level-limit")
}
