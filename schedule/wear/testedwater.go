package wear

import (
	"runtime"
	"sync"

	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/inference"
	"limekeep/water/potential"
	"limekeep/water/treatment"
)

// TestedWater is one test with all it stands for: the supply, and what the
// machines get from it through each arrangement of treatment that the line has
// had.
type TestedWater struct {
	On       record.Date
	Supply   []supplied   // one for each analysis of the set
	Feeds    []feedWaters // by arrangement
	set      inference.Set
	district string // whose water was tested; empty for that of the place alone
	key      string // what it depends on
}

// supplied is the raw water of one analysis.
type supplied struct {
	totals     water.Totals
	hardness   float64 // calcium and magnesium, meq/L
	alkalinity float64 // meq/L
	aired      float64 // share of its excess CO2 that a tank loses
	brucite    bool    // whether brucite forms in a steam boiler
}

// feedWaters is what one arrangement makes of a test: behind fresh exchangers
// and behind spent ones. Where nothing uses up the two are the same.
type feedWaters struct {
	Fresh, Spent []feedWater
}

// feedWater is one analysis as a machine gets it.
type feedWater struct {
	totals     water.Totals
	potentials *potential.ClosedTable
}

// bruciteShare is the share of worlds in which brucite forms in a steam boiler.
// Assumption: databases and boilers disagree.
const bruciteShare = 0.5

// arrangement is how a line was laid out from a day on.
type arrangement struct {
	from   record.Date
	line   record.WaterLine
	feeder feeder
}

// newTestedWater works out the sets of a test for each arrangement. base is a
// test of the supply itself, for one that was taken behind the treatment; nil
// where there is none.
func newTestedWater(d Draws, block string, t record.Dated[record.WaterTest], arrangements []arrangement, base *TestedWater) (TestedWater, error) {
	name := "test/" + t.On.String()
	draw := d.Points(block, name)
	tested := TestedWater{On: t.On}
	var err error
	if len(t.Body.Test.Values) == 0 {
		tested.set = inference.Unmeasured(inference.SetSize, draw)
	} else if tested.set, err = inference.FromTest(t.Body.Test, inference.SetSize, draw); err != nil {
		return tested, err
	}
	solver := equilibrium.NewSolver()
	measured := make([]water.Totals, len(tested.set.Analyses))
	for i, a := range tested.set.Analyses {
		solution, err := solver.Speciate(a)
		if err != nil {
			return tested, err
		}
		measured[i] = solution.Totals
		tested.Supply = append(tested.Supply, supplied{
			totals:  measured[i],
			aired:   treatment.TankLeastShare + (treatment.TankMostShare-treatment.TankLeastShare)*d.Uniform(block, "tank", i, 0),
			brucite: d.Uniform(block, "brucite", i, 0) < bruciteShare,
		})
	}
	if t.Body.After != "" {
		before, _ := inForce(arrangements, t.On).feeder.split(t.Body.After)
		tested.turnBack(measured, before, base)
	}
	for _, a := range arrangements {
		f := a.feeder
		f.solver = solver
		waters, rest := measured, f
		if t.Body.After != "" {
			var found bool
			if rest.stages, found = f.behindStage(t.Body.After); !found {
				waters = tested.totals() // laid out without the stage: all of the line is still to come
			}
		}
		feeds := feedWaters{}
		if feeds.Fresh, err = tested.behind(rest, waters, 0); err != nil {
			return tested, err
		}
		feeds.Spent = feeds.Fresh
		if f.exchanges() {
			if feeds.Spent, err = tested.behind(f, tested.totals(), spentShare); err != nil {
				return tested, err
			}
		}
		tested.Feeds = append(tested.Feeds, feeds)
	}
	for i := range tested.Supply {
		s := &tested.Supply[i]
		// A litre of drinking water weighs a kilogram.
		s.hardness, s.alkalinity = 2000*(s.totals.Calcium+s.totals.Magnesium), 1000*s.totals.Alkalinity
	}
	return tested, nil
}

// totals gives the supply of each analysis.
func (tested *TestedWater) totals() []water.Totals {
	totals := make([]water.Totals, len(tested.Supply))
	for i, s := range tested.Supply {
		totals[i] = s.totals
	}
	return totals
}

// inForce gives the arrangement that a line had on a day.
func inForce(arrangements []arrangement, on record.Date) arrangement {
	a := arrangements[0]
	for _, w := range arrangements[1:] {
		if w.from <= on {
			a = w
		}
	}
	return a
}

// behindStage gives what of a line comes behind a stage; all of it, and false,
// where it has no such stage.
func (f feeder) behindStage(id string) ([]record.Treatment, bool) {
	before, behind := f.split(id)
	return behind, len(before) > 0
}

// split parts a line's stages behind the one with an id.
func (f feeder) split(id string) (before, behind []record.Treatment) {
	for i, stage := range f.stages {
		if stage.ID == id {
			return f.stages[:i+1], f.stages[i+1:]
		}
	}
	return nil, f.stages
}

// behind works out waters behind a line.
func (tested *TestedWater) behind(f feeder, waters []water.Totals, used float64) ([]feedWater, error) {
	feeds := make([]feedWater, len(waters))
	err := onAllCores(len(waters), func(solver *equilibrium.Solver, i int) error {
		own := f
		own.solver = solver
		totals := waters[i]
		if own.changes() {
			var err error
			if totals, err = own.feed(totals, used, tested.Supply[i].aired); err != nil {
				return err
			}
		}
		table, err := potential.NewClosed(solver, totals)
		feeds[i] = feedWater{totals: totals, potentials: &table}
		return err
	})
	return feeds, err
}

// onAllCores does a piece of work for each of n things, on as many processors as
// there are, each with a solver of its own. The error is that of the first
// thing, in order, that has one.
func onAllCores(n int, do func(*equilibrium.Solver, int) error) error {
	errs := make([]error, n)
	workers := min(runtime.GOMAXPROCS(0), n)
	var wait sync.WaitGroup
	for first := range workers {
		wait.Go(func() {
			solver := equilibrium.NewSolver()
			for i := first; i < n; i += workers {
				errs[i] = do(solver, i)
			}
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// leastBypass is the bypass from which what lies behind a cartridge tells what
// lies before it: below, hardly any of its hardness is the supply's.
const leastBypass = 0.1

// turnBack says what the supply must be for a test taken behind stages, since
// that is what a cartridge has to cope with and what comes through once it is
// spent. A test of the supply says it best; else the bypass of a cartridge that
// is not spent yet; where neither says anything the supply is taken to be as
// measured, and the cartridge seems to last longer than it will.
func (tested *TestedWater) turnBack(measured []water.Totals, stages []record.Treatment, base *TestedWater) {
	if base != nil {
		before := 0.0 // weight
		for i, w := range tested.set.Weights {
			tested.Supply[i].totals = base.Supply[base.set.Pick(before+w/2)].totals
			before += w
		}
		return
	}
	for i := range tested.Supply {
		t := measured[i]
		for _, stage := range stages {
			if !stage.Kind.Exchanges() || stage.BypassShare < leastBypass {
				continue
			}
			taken := 2 * (t.Calcium + t.Magnesium) * (1/stage.BypassShare - 1)
			t.Calcium /= stage.BypassShare
			t.Magnesium /= stage.BypassShare
			onSodium := taken * (1 - stage.HydrogenShare())
			t.Sodium = max(0, t.Sodium-onSodium)
			t.Alkalinity += taken - onSodium
		}
		tested.Supply[i].totals = t
	}
}
