package potential

import (
	"runtime"
	"sync"

	"limekeep/water/equilibrium"
	"limekeep/water/inference"
)

// OfSet computes the tables of every analysis of a set, in its order,
// on as many processors as there are. 200 analyses take about a tenth of a
// second of one processor, and 0.2 MB.
func OfSet(s inference.Set) ([]Table, error) {
	tables := make([]Table, len(s.Analyses))
	errs := make([]error, len(s.Analyses))
	workers := min(runtime.GOMAXPROCS(0), len(tables))
	var wait sync.WaitGroup
	for w := range workers {
		wait.Go(func() {
			solver := equilibrium.NewSolver()
			for i := w; i < len(tables); i += workers {
				tables[i], errs[i] = New(solver, s.Analyses[i])
			}
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return tables, nil
}
