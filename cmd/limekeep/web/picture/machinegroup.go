package picture

// groupPlaces is where the middles of the groups lie.
func (m Machine) groupPlaces(l layout) []float64 {
	// The pump stands to the left, and the groups from there to the right.
	left, right := bodyLeft+6, l.bodyRight-6
	if m.HotTap {
		right -= 22
	}
	n := len(m.Groups)
	places := make([]float64, n)
	for i := range places {
		places[i] = left + (right-left)*(float64(i)+0.5)/float64(n)
	}
	return places
}

func (m Machine) groups(on *canvas, w Writing, l layout) {
	places := m.groupPlaces(l)
	if m.HotTap {
		x := l.bodyRight - 16
		on.path("M"+decimal(x)+" "+decimal(bodyFoot)+"L"+decimal(x)+" "+decimal(bodyFoot+24), "spout")
		on.path("M"+decimal(x)+" "+decimal(bodyFoot+30)+"q5 8 0 11q-5 -3 0 -11Z", "drop")
	}
	for i, g := range m.Groups {
		x := places[i]
		reach := min(33, (l.bodyRight-bodyLeft)/float64(2*len(m.Groups)))
		on.part(w, g.Part, x-reach, bodyFoot-4, 2*reach, trayTop-bodyFoot, func() { g.draw(on, w, x, len(m.Groups) > 1) })
	}
}

// draw draws a group with its portafilter and a cup beneath; its gauge is a ring
// around its face.
func (g Group) draw(on *canvas, w Writing, x float64, named bool) {
	y := groupLine
	on.path(trace([]spot{{x - 15, bodyFoot - 2}, {x + 15, bodyFoot - 2}, {x + 20, y}, {x - 20, y}})+"Z", "metal")
	switch g.Drive {
	case ByLever, BySpringDown:
		g.lever(on, x)
	case ByCam:
		on.line(x+22, y-4, x+30, y-12, "arm")
		on.circle(x+31, y-14, 4, "knob")
	}
	// Portafilter: ring, spouts, handle towards whoever stands there.
	on.rect(x-21, y+22, 42, 9, 3, "metal")
	on.path(trace([]spot{{x - 9, y + 31}, {x - 9, y + 36}, {x - 13, y + 42}}), "spout")
	on.path(trace([]spot{{x + 9, y + 31}, {x + 9, y + 36}, {x + 13, y + 42}}), "spout")
	on.rect(x-5, y+28, 10, 20, 5, "handle")
	cup(on, x)
	on.circle(x, y, 23, "vessel")
	ring(on, g.Part, x, y, 20)
	g.inRing(on, w, x, y+4, y+19)
	if named {
		on.text(x, trayTop-4, "middle", "words small halo", shortened(g.Name, 9))
	}
}

// lever draws the arm of a piston, and the spring's housing where it has one.
func (g Group) lever(on *canvas, x float64) {
	if g.Drive == BySpringDown {
		on.rect(x-11, bodyFoot-36, 22, 36, 5, "metal")
		for i := range 3 {
			y := bodyFoot - 30 + 9*float64(i)
			on.line(x-7, y+3, x+7, y, "coil")
		}
	} else {
		on.rect(x-4, bodyFoot-30, 8, 30, 2, "metal")
	}
	// The arm is half pulled, so that it stands clear of the vessels.
	on.circle(x, bodyFoot-34, 5, "knob")
	on.line(x, bodyFoot-34, x+27, bodyFoot-52, "arm")
	on.line(x+24, bodyFoot-50, x+48, bodyFoot-66, "handle-line")
}

// cup draws a cup beneath a group.
func cup(on *canvas, x float64) {
	y := trayTop - 40
	on.path("M"+decimal(x-15)+" "+decimal(y)+"l4 19q1 5 6 5h10q5 0 6 -5l4 -19Z", "cup")
	on.path("M"+decimal(x+14)+" "+decimal(y+4)+"q9 0 7 7q-2 5 -9 5", "cup ear")
}

// wand draws the steam wand beside the case.
func (m Machine) wand(on *canvas, w Writing, l layout) {
	if m.Wand == nil {
		return
	}
	x := l.bodyRight + 14
	on.part(w, *m.Wand, x-26, 202, 52, 154, func() {
		on.path("M"+decimal(x)+" 246L"+decimal(x)+" 266Q"+decimal(x)+" 304 "+decimal(x+6)+" 338", "wand")
		on.path("M"+decimal(x+6)+" 338l1.5 10", "wand tip")
		// The valve's knob, whose rim is the gauge.
		on.circle(x, 230, 21, "vessel")
		ring(on, *m.Wand, x, 230, 19)
		m.Wand.inRing(on, w, x, 234, 249)
	})
}
