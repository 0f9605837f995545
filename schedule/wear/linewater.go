package wear

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/water"
)

// LineWater is what is known of the water of one line: for each test a set of
// full analyses, each with its table of potentials, as the supply brings it and
// as a fresh cartridge leaves it.
type LineWater struct {
	Line  string
	Tests []TestedWater // oldest first, at least one
	Known bool          // false where nothing was ever measured and the set is the prior alone
	drift [][]float64   // Brownian path of each world, by quarter
	picks [][]int       // which analysis of each test each world takes
	shift []float64     // standard normal of the thermodynamics, by world
	first record.Date   // that the drift starts from
	knots []record.Date // days at which the water is worked out
	steps []placeAmong  // the forecast's steps among them
}

// TestedWater is one test with what it stands for.
type TestedWater struct {
	On      record.Date
	Raw     []analysed // as supplied
	Treated []analysed // behind fresh cartridges; Raw itself where nothing exchanges
	set     water.Set
}

// analysed is one analysis that a world can take.
type analysed struct {
	potentials *water.Potentials
	hardness   float64 // calcium and magnesium, meq/L
	alkalinity float64 // meq/L
}

// Drift of mains water: log standard deviation per square root of a year since
// the test. Assumption.
const driftPerRootYear = 0.10

// driftDays is the length of a quarter, the step of the drift.
const driftDays = 91

// NewLineWater works out the sets of a line's tests. Tests of the supply are
// used when there are any, else those taken behind the treatment, whose water
// then counts as what reaches the machine. A line without a test gets the prior
// over all drinking waters, from the line's first day.
func NewLineWater(d Draws, memory *Memory, line record.Equipment, tests []record.Dated[record.WaterTest], s span, g grid) (*LineWater, error) {
	block := "water/" + line.ID
	lw := &LineWater{Line: line.ID, Known: len(tests) > 0, first: s.first}
	supply := slices.DeleteFunc(slices.Clone(tests), func(t record.Dated[record.WaterTest]) bool { return t.Body.After != "" })
	stages := line.Line.Treatment
	if len(supply) == 0 && len(tests) > 0 {
		supply, stages = tests, nil
	}
	if len(supply) == 0 {
		supply = []record.Dated[record.WaterTest]{{On: line.Bought}}
	}
	for _, t := range supply {
		tested, err := memory.tested(d, block, t, stages)
		if err != nil {
			return nil, fmt.Errorf("the water test of %s: %w", t.On, err)
		}
		lw.Tests = append(lw.Tests, tested)
	}
	// One number picks in every test, so that what no test measured stays the
	// same from one to the next.
	uniforms := d.Uniforms(block, "analysis")
	for _, t := range lw.Tests {
		picks := make([]int, len(uniforms))
		for w, u := range uniforms {
			picks[w] = t.set.Pick(u)
		}
		lw.picks = append(lw.picks, picks)
	}
	lw.shift = d.Uniforms(block, "thermodynamics")
	for w, u := range lw.shift {
		lw.shift[w] = normalQuantile(u)
	}
	lw.drift = driftPaths(d, block, s.first, s.last)
	lw.knots = waterKnots(lw.Tests, s)
	lw.steps = placeSteps(lw.knots, g)
	return lw, nil
}

func newTestedWater(d Draws, block string, t record.Dated[record.WaterTest], stages []record.Treatment) (TestedWater, error) {
	draw := func(sample, dimension int) float64 {
		return d.Uniform(block, "test/"+t.On.String(), sample, dimension)
	}
	var set water.Set
	var err error
	if len(t.Body.Test.Values) == 0 {
		set = water.Unmeasured(water.SetSize, draw)
	} else if set, err = water.Infer(t.Body.Test, water.SetSize, draw); err != nil {
		return TestedWater{}, err
	}
	tested := TestedWater{On: t.On, set: set}
	if tested.Raw, err = analysedSet(set); err != nil {
		return TestedWater{}, err
	}
	tested.Treated = tested.Raw
	if slices.ContainsFunc(stages, func(t record.Treatment) bool { return t.Kind.Exchanges() }) {
		behind, err := treatedSet(set, stages)
		if err != nil {
			return TestedWater{}, err
		}
		if tested.Treated, err = analysedSet(behind); err != nil {
			return TestedWater{}, err
		}
	}
	return tested, nil
}

func analysedSet(set water.Set) ([]analysed, error) {
	tables, err := set.Potentials()
	if err != nil {
		return nil, err
	}
	solver := water.NewSolver()
	all := make([]analysed, len(tables))
	for i, a := range set.Analyses {
		solution, err := solver.Speciate(a)
		if err != nil {
			return nil, err
		}
		t := solution.Totals // mol/kg; a litre of drinking water weighs a kilogram
		all[i] = analysed{potentials: &tables[i], hardness: 2000 * (t.Calcium + t.Magnesium), alkalinity: 1000 * t.Alkalinity}
	}
	return all, nil
}

// treatedSet gives the waters behind the line's exchangers while they are fresh.
func treatedSet(set water.Set, stages []record.Treatment) (water.Set, error) {
	solver := water.NewSolver()
	behind := water.Set{Weights: set.Weights}
	for _, a := range set.Analyses {
		solution, err := solver.Speciate(a)
		if err != nil {
			return behind, err
		}
		totals := solution.Totals
		for _, t := range stages {
			switch t.Kind {
			case record.Softener:
				totals = water.Soften(totals, 1-t.BypassShare)
			case record.Decarboniser:
				totals = water.Decarbonise(totals, 1-t.BypassShare)
			}
		}
		solution, err = solver.Equilibrate(totals, a.MeasuredCelsius)
		if err != nil {
			return behind, err
		}
		behind.Analyses = append(behind.Analyses, solution.Analysis())
	}
	return behind, nil
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
			paths[w][q] = paths[w][q-1] + step*normalQuantile(u)
		}
	}
	return paths
}

// walk gives a world's random walk on a day, straight between quarters.
func (lw *LineWater) walk(world int, on record.Date) float64 {
	path := lw.drift[world]
	at := float64(int(on)-int(lw.first)/driftDays*driftDays) / driftDays
	at = min(max(at, 0), float64(len(path)-1))
	i := min(int(at), len(path)-2)
	return path[i] + (at-float64(i))*(path[i+1]-path[i])
}

// moment is the water of one world on one day: the tests before and after it,
// how far the day lies from the one to the other, and how concentrated the water
// has drifted.
type moment struct {
	before, after int
	share         float64
	concentration float64
}

func (lw *LineWater) moment(world int, on record.Date) moment {
	tests := lw.Tests
	walk := lw.walk(world, on)
	i, exact := slices.BinarySearchFunc(tests, on, func(t TestedWater, d record.Date) int { return int(t.On - d) })
	switch {
	case exact:
		for i+1 < len(tests) && tests[i+1].On == on {
			i++ // of two tests on a day the later entered counts
		}
		return moment{before: i, after: i, concentration: 1}
	case i == 0:
		return moment{concentration: math.Exp(walk - lw.walk(world, tests[0].On))}
	case i == len(tests):
		return moment{before: i - 1, after: i - 1, concentration: math.Exp(walk - lw.walk(world, tests[i-1].On))}
	}
	before, after := tests[i-1].On, tests[i].On
	share := float64(on-before) / float64(after-before)
	bridge := walk - lw.walk(world, before) - share*(lw.walk(world, after)-lw.walk(world, before))
	return moment{before: i - 1, after: i, share: share, concentration: math.Exp(bridge)}
}

// moments gives the water of one world at each knot.
func (lw *LineWater) moments(world int) iter.Seq2[int, moment] {
	return func(yield func(int, moment) bool) {
		for k, on := range lw.knots {
			if !yield(k, lw.moment(world, on)) {
				return
			}
		}
	}
}

// load gives hardness and alkalinity of the raw water in a world, meq/L.
func (lw *LineWater) load(world int, m moment) (hardness, alkalinity float64) {
	a := &lw.Tests[m.before].Raw[lw.picks[m.before][world]]
	b := &lw.Tests[m.after].Raw[lw.picks[m.after][world]]
	hardness = m.concentration * (a.hardness + m.share*(b.hardness-a.hardness))
	alkalinity = m.concentration * (a.alkalinity + m.share*(b.alkalinity-a.alkalinity))
	return hardness, alkalinity
}

// deposit gives what a litre could lay down in a vessel, in mg of calcite, in a
// world: of the raw water and of the treated. Never below zero: a water that
// would dissolve calcite is not counted on to take old scale off.
func (lw *LineWater) deposit(world int, m moment, v vesselShape) (raw, treated float64) {
	offset := lw.shift[world] * siSpread(v.wallCelsius)
	before, after := &lw.Tests[m.before], &lw.Tests[m.after]
	a, b := lw.picks[m.before][world], lw.picks[m.after][world]
	of := func(was, becomes analysed) float64 {
		p := potential(was.potentials, v, m.concentration, offset)
		if m.share > 0 {
			p += m.share * (potential(becomes.potentials, v, m.concentration, offset) - p)
		}
		return max(0, p*water.MolarMassCalcite)
	}
	raw = of(before.Raw[a], after.Raw[b])
	if before.Treated[a] == before.Raw[a] {
		return raw, raw
	}
	return raw, of(before.Treated[a], after.Treated[b])
}

// steamLog10PCO2 is the pressure of CO2 over a steam boiler that breathes it
// out with its steam, as that of the air. Assumption.
const steamLog10PCO2 = -3.5

// potential gives the mmol of calcite a kilogram could lay down at a vessel's
// wall. Brew circuits are closed: CO2 stays. A steam boiler loses it.
func potential(p *water.Potentials, v vesselShape, concentration, offset float64) float64 {
	if v.kind == record.SteamBoiler {
		return p.Open(v.wallCelsius, concentration, steamLog10PCO2, offset)
	}
	return p.Closed(v.wallCelsius, concentration, offset)
}

// siSpread is how uncertain calcite's saturation index itself is at a
// temperature: 0.02 at 25 °C, 0.06 at 93 °C, 0.12 at 130 °C, straight between.
// Assumption, from the spread of two published databases.
func siSpread(celsius float64) float64 {
	switch {
	case celsius <= 25:
		return 0.02
	case celsius <= 93:
		return 0.02 + 0.04*(celsius-25)/(93-25)
	default:
		return 0.06 + 0.06*(celsius-93)/(130-93)
	}
}
