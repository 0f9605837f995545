package picture

// grindersARow is how many grinders stand on a shelf.
const grindersARow = 4

func (m Machine) grinders(on *canvas, w Writing, l layout) {
	for i, g := range m.Grinders {
		middle, foot := 352.0, counter
		if !l.beside {
			row, place := i/grindersARow, i%grindersARow
			inRow := min(len(m.Grinders)-row*grindersARow, grindersARow)
			middle = machineWidth * (float64(place) + 0.5) / float64(inRow)
			foot = counter + shelfGap + grinderHeight*float64(row+1)
			if place == 0 {
				on.line(4, foot, machineWidth-4, foot, "counter")
			}
		}
		on.part(w, g.Part, middle-38, foot-216, 76, 218, func() {
			if g.Hand {
				g.hand(on, middle, foot)
			} else {
				g.motor(on, middle, foot)
			}
			ring(on, g.Part, middle, foot-116, 24)
			burrs(on, middle, foot-116)
			number := g.number(w)
			on.text(middle, foot-either2(g.Hand, 50, 76), "middle", "reading halo "+either(len([]rune(number)) > 5, "long ", "")+g.class(), number)
			lines := wrapped(g.Name, int(either2(g.Hand, 7, 10)))
			for i, line := range lines {
				on.text(middle, foot-13+12*float64(i)-6*float64(len(lines)-1), "middle", "words small strong halo", line)
			}
		})
	}
}

// motor draws a grinder with a hopper and a fork.
func (g Grinder) motor(on *canvas, x, foot float64) {
	on.path(trace([]spot{{x - 32, foot - 212}, {x + 32, foot - 212}, {x + 19, foot - 152}, {x - 19, foot - 152}})+"Z", "glass")
	beans(on, x, foot-160)
	on.path("M"+decimal(x-24)+" "+decimal(foot-150)+"h48q6 0 6 6v70q0 6 -6 6h-48q-6 0 -6 -6v-70q0 -6 6 -6Z", "case")
	on.rect(x-30, foot-72, 14, 66, 3, "case")
	on.rect(x-34, foot-34, 68, 32, 6, "case")
	on.path(trace([]spot{{x + 2, foot - 68}, {x + 14, foot - 68}, {x + 11, foot - 54}, {x + 5, foot - 54}})+"Z", "metal")
}

// hand draws a mill with a crank.
func (g Grinder) hand(on *canvas, x, foot float64) {
	on.path(trace([]spot{{x, foot - 176}, {x, foot - 192}, {x + 32, foot - 196}}), "arm")
	on.rect(x+26, foot-212, 10, 18, 4, "handle")
	on.rect(x-26, foot-178, 52, 10, 4, "metal")
	on.rect(x-24, foot-168, 48, 100, 8, "case")
	on.rect(x-22, foot-80, 44, 78, 8, "case")
}

// burrs draws the cutting edges.
func burrs(on *canvas, x, y float64) {
	on.circle(x, y, 18, "vessel")
	for i := range 12 {
		from, to := around(x, y, 7, dialMost*float64(i)/9), around(x, y, 15, dialMost*(float64(i)+0.5)/9)
		if i < 9 {
			on.line(from.x, from.y, to.x, to.y, "edge-of-burr")
		}
	}
	on.circle(x, y, 5, "knob")
}

// beans draws what is in the hopper.
func beans(on *canvas, x, y float64) {
	for _, at := range []spot{{-14, -8}, {-2, -4}, {10, -8}, {-8, -19}, {5, -17}, {17, -20}, {-19, -22}, {-3, -29}, {12, -31}} {
		on.draw("ellipse", "cx", x+at.x*0.9, "cy", y+at.y, "rx", 5.5, "ry", 3.8, "class", "bean")
		on.line(x+at.x*0.9-3, y+at.y+1, x+at.x*0.9+3, y+at.y-1, "crease")
	}
}
