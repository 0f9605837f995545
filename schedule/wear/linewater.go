package wear

import (
	"fmt"
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// LineWater is what is known of the water of one line: each test with all it
// stands for, and how each world's water drifts between and beyond them.
type LineWater struct {
	Line         string
	Tests        []TestedWater // oldest first, at least one
	district     string        // that the last test is of; empty for the line's own
	Known        bool          // false where nothing was ever measured and the set is the prior alone
	arrangements []arrangement // oldest first, at least one
	paths        [][]float64   // Brownian path of each world, by quarter
	picks        [][]int       // which analysis of each test each world takes
	apart        [][]float64   // log factor of the place's water to that of each test, by world; nil where no district was tested
	shift        []float64     // standard normal of the thermodynamics, by world
	first        record.Date   // that the drift starts from
	knots        []record.Date // days at which the water is worked out
	steps        []knotPlace   // the forecast's steps among them
	atStep       []waterState  // of each step, undrifted
	atKnot       []drifting    // of each knot
}

// Drift of mains water: log standard deviation per square root of a year since
// the test. Assumption.
const driftPerRootYear = 0.10

// driftDays is the length of a quarter, the step of the drift.
const driftDays = 91

// newLineWater works out the waters of a line from its tests, taken of the
// supply or behind the treatment. versions are what was said of the line over
// time, oldest first. A line without a test gets the prior over all drinking
// waters, from its first day.
func newLineWater(d Draws, from earlier, line record.Equipment, versions []record.Dated[record.Equipment], tests []record.Dated[record.WaterTest], s span, g grid) (*LineWater, error) {
	block := "water/" + line.ID
	lw := &LineWater{Line: line.ID, Known: len(tests) > 0, first: s.first, arrangements: arrangements(line, versions)}
	if len(tests) == 0 {
		tests = []record.Dated[record.WaterTest]{{On: line.Bought}}
	}
	lw.district = tests[len(tests)-1].Body.District
	for i, t := range tests {
		draws, of := d.ofTest(block, t.Body)
		tested, err := from.tested(draws, of, t, lw.arrangements, lw.base(tests, i))
		if err != nil {
			return nil, fmt.Errorf("the water test of %s: %w", t.On, err)
		}
		lw.Tests = append(lw.Tests, tested)
	}
	// One number picks in every test, so that what no test measured stays the
	// same from one to the next.
	for i, t := range lw.Tests {
		draws, of := d.ofTest(block, tests[i].Body)
		uniforms := draws.Uniforms(of, "analysis")
		picks := make([]int, len(uniforms))
		for w, u := range uniforms {
			picks[w] = t.set.Pick(u)
		}
		lw.picks = append(lw.picks, picks)
	}
	lw.shift = d.Uniforms(block, "thermodynamics")
	for w, u := range lw.shift {
		lw.shift[w] = figure.NormalQuantile(u)
	}
	lw.paths = driftPaths(d, block, s.first, s.last)
	lw.setApart(d, block, tests)
	lw.knots = waterKnots(lw.Tests, lw.arrangements, s)
	lw.steps = placeSteps(lw.knots, g)
	for _, on := range lw.knots {
		lw.atKnot = append(lw.atKnot, lw.drifting(on))
	}
	for i := range g.steps() {
		lw.atStep = append(lw.atStep, lw.undrifted(g.middle(i)))
	}
	return lw, nil
}

// base gives the last test of the supply before a test behind the treatment.
func (lw *LineWater) base(tests []record.Dated[record.WaterTest], i int) *TestedWater {
	if tests[i].Body.After == "" {
		return nil
	}
	for k := i - 1; k >= 0; k-- {
		if tests[k].Body.After == "" {
			return &lw.Tests[k]
		}
	}
	return nil
}

// arrangements gives how a line was laid out over time. A version that lays it
// out as before is not another arrangement.
func arrangements(line record.Equipment, versions []record.Dated[record.Equipment]) []arrangement {
	var all []arrangement
	add := func(from record.Date, l record.WaterLine) {
		if n := len(all); n > 0 && keyOf([]any{all[n-1].line}) == keyOf([]any{l}) {
			return
		}
		all = append(all, arrangement{from: from, line: l, feeder: feeder{stages: l.Treatment, tank: l.Supply == record.Tank}})
	}
	for _, v := range versions {
		if v.Body.Line != nil {
			add(v.On, *v.Body.Line)
		}
	}
	add(line.Bought, *line.Line) // as it stands, where no version was handed over
	return all
}

// driftPaths draws each world's random walk. Quarters are numbered from a fixed
// day, so that a longer forecast continues the same path.
func driftPaths(d Draws, block string, first, last record.Date) [][]float64 {
	quarter := int(first) / driftDays
	quarters := int(last)/driftDays - quarter + 2
	step := driftPerRootYear * math.Sqrt(driftDays/365.25)
	paths := make([][]float64, d.Worlds)
	flat := make([]float64, d.Worlds*quarters)
	for w := range paths {
		paths[w], flat = flat[:quarters:quarters], flat[quarters:]
	}
	for q := 1; q < quarters; q++ {
		for w, u := range d.Uniforms(block, fmt.Sprintf("drift/%d", quarter+q)) {
			paths[w][q] = paths[w][q-1] + step*figure.NormalQuantile(u)
		}
	}
	return paths
}

// walkPlace is where a day lies among the quarters of the random walks.
type walkPlace struct {
	quarter int
	share   float64 // of the way to the next
}

func (lw *LineWater) walkPlace(on record.Date) walkPlace {
	quarters := len(lw.paths[0])
	at := float64(int(on)-int(lw.first)/driftDays*driftDays) / driftDays
	at = min(max(at, 0), float64(quarters-1))
	i := min(int(at), quarters-2)
	return walkPlace{quarter: i, share: at - float64(i)}
}

// walked gives a world's random walk at a place, straight between quarters.
func (lw *LineWater) walked(world int, p walkPlace) float64 {
	path := lw.paths[world]
	return path[p.quarter] + p.share*(path[p.quarter+1]-path[p.quarter])
}

// waterState is a line's water on one day: the tests before and after it, how far
// the day lies from the one to the other, how the line was laid out, and by what
// factor the water has drifted in a world.
type waterState struct {
	before, after int
	share         float64
	arrangement   int
	drifted       float64
}

// undrifted gives the water of a day as the tests have it.
func (lw *LineWater) undrifted(on record.Date) waterState {
	s := waterState{drifted: 1}
	for s.arrangement+1 < len(lw.arrangements) && lw.arrangements[s.arrangement+1].from <= on {
		s.arrangement++
	}
	tests := lw.Tests
	i, exact := slices.BinarySearchFunc(tests, on, func(t TestedWater, d record.Date) int { return int(t.On - d) })
	switch {
	case exact:
		for i+1 < len(tests) && tests[i+1].On == on {
			i++ // of two tests on a day the later entered counts
		}
		s.before, s.after = i, i
	case i == len(tests):
		s.before, s.after = i-1, i-1
	case i > 0:
		s.before, s.after = i-1, i
		s.share = float64(on-tests[i-1].On) / float64(tests[i].On-tests[i-1].On)
	}
	return s
}

// drifting is the water of a day as the tests have it, with the places by which it
// drifts in each world. The drift starts from each test anew; between two it is a bridge.
type drifting struct {
	waterState
	tested            bool // on that very day, so that it has not drifted
	on, before, after walkPlace
}

func (lw *LineWater) drifting(on record.Date) drifting {
	s := lw.undrifted(on)
	before, after := lw.Tests[s.before].On, lw.Tests[s.after].On
	return drifting{waterState: s, tested: on == before, on: lw.walkPlace(on), before: lw.walkPlace(before), after: lw.walkPlace(after)}
}

// in lets the water of a day drift as in a world.
func (lw *LineWater) in(world int, d *drifting) waterState {
	s := d.waterState
	apart := 0.0
	if lw.apart != nil {
		apart = lw.apartIn(world, &s)
	}
	if d.tested {
		if lw.apart != nil {
			s.drifted = math.Exp(apart)
		}
		return s
	}
	from := lw.walked(world, d.before)
	if s.share > 0 {
		from += s.share * (lw.walked(world, d.after) - from)
	}
	s.drifted = math.Exp(lw.walked(world, d.on) - from + apart)
	return s
}

// atKnots fills in the water of one world at each knot.
func (lw *LineWater) atKnots(world int, to []waterState) {
	for k := range lw.atKnot {
		to[k] = lw.in(world, &lw.atKnot[k])
	}
}

// load gives hardness and alkalinity of the raw water in a world, meq/L.
func (lw *LineWater) load(world int, s *waterState) (hardness, alkalinity float64) {
	a := &lw.Tests[s.before].Supply[lw.picks[s.before][world]]
	b := &lw.Tests[s.after].Supply[lw.picks[s.after][world]]
	hardness = s.drifted * (a.hardness + s.share*(b.hardness-a.hardness))
	alkalinity = s.drifted * (a.alkalinity + s.share*(b.alkalinity-a.alkalinity))
	return hardness, alkalinity
}

// deposit gives what a litre could lay down at the wall of a closed vessel, in
// mg of calcite, in a world: behind spent exchangers and behind fresh ones.
// Below zero the water would dissolve calcite.
func (lw *LineWater) deposit(world int, s *waterState, v *vesselShape) (spent, fresh float64) {
	offset := lw.shift[world] * SISpread(v.wallCelsius)
	before, after := &lw.Tests[s.before].Feeds[s.arrangement], &lw.Tests[s.after].Feeds[s.arrangement]
	a, b := lw.picks[s.before][world], lw.picks[s.after][world]
	of := func(was, becomes *feedWater) float64 {
		p := was.potentials.Closed(v.wallCelsius, s.drifted, offset)
		if s.share > 0 {
			p += s.share * (becomes.potentials.Closed(v.wallCelsius, s.drifted, offset) - p)
		}
		return p * water.MolarMassCalcite
	}
	spent = of(&before.Spent[a], &after.Spent[b])
	if before.Fresh[a].potentials == before.Spent[a].potentials {
		return spent, spent
	}
	return spent, of(&before.Fresh[a], &after.Fresh[b])
}

// SISpread is how uncertain calcite's saturation index itself is at a
// temperature: 0.02 at 25 °C, 0.06 at 93 °C, 0.12 at 130 °C, straight between.
// Assumption, from the spread of two published databases.
func SISpread(celsius float64) float64 {
	switch {
	case celsius <= 25:
		return 0.02
	case celsius <= 93:
		return 0.02 + 0.04*(celsius-25)/(93-25)
	default:
		return 0.06 + 0.06*(celsius-93)/(130-93)
	}
}
