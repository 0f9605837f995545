package equilibrium

import "math"

// Start is where the search of an equilibrium may begin: where another ended, of much the
// same water under much the same conditions. From wherever it begins it finds the same
// answer, to within what a search leaves open, and the sooner the nearer the start is. The
// zero Start has the search estimate its own.
type Start struct {
	solids   Solids // that are likely there
	known    bool   // the rest is, for these solids
	strength float64
	solutes  float64
	slope    float64    // by which the ionic strength found falls short of the one tried, over that one
	ln       [3]float64 // as in Solver
}

// Likely returns a start of which no more is known than which solids are likely there.
func Likely(solids Solids) Start { return Start{solids: solids} }

// Ended returns where the last search ended.
func (s *Solver) Ended() Start {
	return Start{solids: s.p.solids(), known: true, strength: s.bal.strength, solutes: s.bal.solutes, slope: s.slope, ln: s.ln}
}

// Along returns the start that lies from s as to lies from from, so many times; s where
// nothing is known of one of them, or their solids differ.
func (s Start) Along(from, to Start, times float64) Start {
	if !s.known || !from.known || !to.known || s.solids != from.solids || s.solids != to.solids {
		return s
	}
	s.strength *= math.Pow(to.strength/from.strength, times)
	s.solutes *= math.Pow(to.solutes/from.solutes, times)
	for i := range s.ln {
		s.ln[i] += times * (to.ln[i] - from.ln[i])
	}
	return s
}

// solids are those that a problem takes to be in equilibrium.
func (p *problem) solids() Solids { return Solids{p.calcite, p.anhydrite, p.brucite} }
