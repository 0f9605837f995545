package day

import (
	"slices"
	"sync"
)

// told keeps what a forecast was asked before: pages ask the same of it again and
// again.
type told struct {
	due  func() []Due
	plan func() PlanInfo

	standing func() Standing
}

// tell begins to keep the answers of a forecast whose plan stands.
func (f *Forecast) tell() {
	f.told = &told{due: sync.OnceValue(dueTeller{f}.allDue), plan: sync.OnceValue(planTeller{f}.wholePlan), standing: sync.OnceValue(f.standing)}
}

// Due lists every task that can fall due, the soonest first. The list is the asker's;
// what hangs on its entries is shared and stays as it is.
func (f *Forecast) Due() []Due { return slices.Clone(f.told.due()) }

// Plan returns the sittings to come, what cannot be met and what to order. It is shared
// between those who ask: nobody changes what it holds.
func (f *Forecast) Plan() PlanInfo { return f.told.plan() }

// Standing returns how the place stands beside others.
func (f *Forecast) Standing() Standing { return f.told.standing() }
