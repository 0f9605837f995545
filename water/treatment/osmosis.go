package treatment

import (
	"math"

	"limekeep/water"
	"limekeep/water/equilibrium"
)

// Membrane is a reverse osmosis module with the water that flows through it.
type Membrane struct {
	Passage  Passage
	Recovery float64 // share of the feed that comes out as permeate, 0.05 to 0.9
}

// Passage is the share of each constituent that gets through a membrane, 0 to
// 1, at little recovery. Alkalinity stands for HCO3-.
type Passage struct {
	Calcium, Magnesium, Sodium, Potassium  float64
	Alkalinity, Chloride, Sulfate, Nitrate float64
	Silica                                 float64
}

// UsualPassage is that of thin-film composite modules at mains pressure:
// common practice, from memory. They hold back twice charged ions best,
// nitrate worst.
func UsualPassage() Passage {
	return Passage{
		Calcium: 0.03, Magnesium: 0.03, Sodium: 0.07, Potassium: 0.08,
		Alkalinity: 0.06, Chloride: 0.06, Sulfate: 0.02, Nitrate: 0.15,
		Silica: 0.10,
	}
}

// UsualRecovery is the share of the feed that small modules turn to permeate:
// common practice, from memory.
const UsualRecovery = 0.3

// Permeate splits water of these totals at celsius, 0 to 45, into permeate and
// concentrate. CO2 goes through a membrane as if it were not there, so permeate
// has about as much of it as the feed and hardly any alkalinity: it is acid.
// What passes is what the passage says, corrected by the one potential across
// the membrane at which no net charge passes, as it must. Along the module the
// feed concentrates. The error is a *ValueError or the solver's.
func (m Membrane) Permeate(s *equilibrium.Solver, t water.Totals, celsius float64) (permeate, concentrate water.Totals, err error) {
	if err := water.CheckRange("temperature at a membrane, °C", celsius, 0, 45); err != nil {
		return permeate, concentrate, err
	}
	if err := water.CheckRange("recovery", m.Recovery, 0.05, 0.9); err != nil {
		return permeate, concentrate, err
	}
	if err := m.Passage.check(); err != nil {
		return permeate, concentrate, err
	}
	feed, err := s.Equilibrate(t, celsius)
	if err != nil {
		return permeate, concentrate, err
	}
	co2 := min(feed.DissolvedCO2(), t.Carbon)
	permeate = m.through(t, m.balance(t))
	// The rest of the carbon is HCO3- and CO3-2 and passes with the alkalinity.
	if t.Alkalinity > 0 {
		permeate.Carbon = co2 + (t.Carbon-co2)*max(0, permeate.Alkalinity)/t.Alkalinity
	} else {
		permeate.Carbon = co2
	}
	concentrate = t.Plus(permeate.Times(-m.Recovery)).Times(1 / (1 - m.Recovery))
	return permeate, concentrate, nil
}

// check looks at every share.
func (p *Passage) check() error {
	for _, c := range [...]struct {
		name  string
		share float64
	}{
		{"calcium", p.Calcium}, {"magnesium", p.Magnesium}, {"sodium", p.Sodium}, {"potassium", p.Potassium},
		{"alkalinity", p.Alkalinity}, {"chloride", p.Chloride}, {"sulfate", p.Sulfate}, {"nitrate", p.Nitrate},
		{"silica", p.Silica},
	} {
		if err := water.CheckRange("passage of "+c.name, c.share, 0, 1); err != nil {
			return err
		}
	}
	return nil
}

// passed is the share of a constituent in the permeate over its share in the
// feed, when it passes in a share of what is before the membrane: what does not
// pass concentrates along the way, so that (1-r)^(p-1) of it is left before
// the membrane at the end. For little recovery it is p.
func (m *Membrane) passed(p float64) float64 {
	return -math.Expm1(p*math.Log1p(-m.Recovery)) / m.Recovery
}

// through is the permeate at a potential, in units of kT/e, that draws anions
// and holds back cations: Boltzmann's factor on each passage.
func (m *Membrane) through(t water.Totals, potential float64) water.Totals {
	one, two := math.Exp(potential), math.Exp(2*potential)
	pass := func(amount, p, factor float64) float64 { return amount * m.passed(min(1, p*factor)) }
	p := &m.Passage
	return water.Totals{
		Calcium: pass(t.Calcium, p.Calcium, 1/two), Magnesium: pass(t.Magnesium, p.Magnesium, 1/two),
		Sodium: pass(t.Sodium, p.Sodium, 1/one), Potassium: pass(t.Potassium, p.Potassium, 1/one),
		Alkalinity: pass(t.Alkalinity, p.Alkalinity, one), Chloride: pass(t.Chloride, p.Chloride, one),
		Sulfate: pass(t.Sulfate, p.Sulfate, two), Nitrate: pass(t.Nitrate, p.Nitrate, one),
		Silica: t.Silica * m.passed(p.Silica),
	}
}

// balance finds the potential at which the permeate is as neutral as the feed.
// The charge that passes falls with it throughout. An analysis that is not
// neutral itself keeps its imbalance, scaled down as chloride is.
func (m *Membrane) balance(t water.Totals) float64 {
	imbalance := t.ChargeBalance() * m.passed(m.Passage.Chloride)
	low, high := -6.0, 6.0 // beyond, any passage met here is none or all
	for range 60 {
		middle := (low + high) / 2
		if through := m.through(t, middle); through.ChargeBalance() > imbalance {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
