package equilibrium

import (
	"math"

	"limekeep/water"
)

// estimate sets the logarithms to a start for the search: the carbonate system
// alone, without pairs, and sulfate paired with calcium and magnesium. It
// depends on the problem only, so that equal problems have equal answers.
func (s *Solver) estimate() {
	p, t, k := &s.p, &s.p.totals, &s.cond
	var h, c float64
	switch p.given {
	case givenAlkalinityPH:
		h = math.Pow(10, -p.ph)
		alk := math.Max(t.Alkalinity-s.otherAlkalinity(h), traceMol)
		c = alk / (k.hco3*h + 2*k.co3)
	case givenCarbonPH:
		h = math.Pow(10, -p.ph)
		c = t.Carbon / (k.co2*h*h + k.hco3*h + k.co3)
	case givenAlkalinityGas:
		gas := math.Pow(10, p.log10PCO2) / k.co2ByGas(s.th) // h²·c
		h = estimateProton(k, t.Alkalinity, k.co2*gas)
		c = gas / (h * h)
	default:
		if p.calcite && !p.anhydrite && p.headspace == 0 && t.Alkalinity > 0 {
			formed := s.estimateCalcite()
			t = &water.Totals{
				Calcium: t.Calcium - formed, Magnesium: t.Magnesium, Sulfate: t.Sulfate,
				Alkalinity: t.Alkalinity - 2*formed, Carbon: t.Carbon - formed,
			}
		}
		h = estimateProton(k, t.Alkalinity, t.Carbon-t.Alkalinity)
		if t.Alkalinity > 0 && t.Alkalinity > 0.99*t.Carbon {
			h = estimateAlkaline(k, t.Alkalinity, t.Carbon)
		}
		c = t.Carbon / (k.co2*h*h + k.hco3*h + k.co3)
	}
	ca := t.Calcium / k.ca
	mg := t.Magnesium / k.mg
	so4 := t.Sulfate / (k.so4 + k.caSO4*ca + k.mgSO4*mg)
	s.ln = [3]float64{math.Log(h), math.Log(c), math.Log(so4)}
	if p.given == givenAlkalinityPH || p.given == givenCarbonPH {
		s.ln[0] = -p.ph * math.Ln10
	}
}

// estimateCalcite estimates the calcite that forms in a closed vessel, mol/kg,
// as if bicarbonate and dissolved CO2 were all the carbon: a cubic equation,
// halved a few times, since only a start is wanted.
func (s *Solver) estimateCalcite() float64 {
	t, k := &s.p.totals, &s.cond
	product := math.Exp(s.th.lnK[Calcite]-math.Ln10*s.p.siOffset) * k.ca * k.hco3 * k.hco3 / k.co2
	co2 := t.Carbon - t.Alkalinity
	high := math.Min(t.Calcium, math.Min(t.Alkalinity/2, t.Carbon))
	low := -math.Max(t.Alkalinity, t.Carbon)
	for range 9 {
		x := (low + high) / 2
		hco3 := t.Alkalinity - 2*x
		if (t.Calcium-x)*hco3*hco3 > product*math.Max(co2+x, 0.002*t.Carbon) {
			low = x
		} else {
			high = x
		}
	}
	return low
}

// estimateProton is the activity of H+ where alkalinity is bicarbonate and
// dissolved CO2 is known, both mol/kg; for free acid it is the acid.
func estimateProton(k *conditional, alkalinity, co2 float64) float64 {
	co2 = math.Max(co2, traceMol)
	water := math.Sqrt(k.oh / k.h)
	if alkalinity > 0 {
		return math.Max(co2/alkalinity*k.hco3/k.co2, water*1e-5)
	}
	return math.Max(water, -alkalinity/k.h)
}

// estimateAlkaline is the activity of H+ where bicarbonate and carbonate, or
// carbonate and hydroxide, make up the alkalinity.
func estimateAlkaline(k *conditional, alkalinity, carbon float64) float64 {
	co3 := alkalinity - carbon
	hco3 := 2*carbon - alkalinity
	if hco3 > 0.01*carbon {
		return hco3 / math.Max(co3, 0.01*carbon) * k.co3 / k.hco3
	}
	return k.oh / math.Max(alkalinity-2*carbon, 0.01*carbon+1e-7)
}

// otherAlkalinity estimates the alkalinity that is not carbonate at an
// activity of H+, eq/kg: hydroxide and silicate less acid.
func (s *Solver) otherAlkalinity(h float64) float64 {
	t, k := &s.p.totals, &s.cond
	silicate := t.Silica * k.siH3 / (k.siH3 + k.si*h)
	caOH := t.Calcium * k.caOH / (k.caOH + k.ca*h)
	mgOH := t.Magnesium * k.mgOH / (k.mgOH + k.mg*h)
	hso4 := t.Sulfate * k.hso4 * h / (k.hso4*h + k.so4)
	return k.oh/h + silicate + caOH + mgOH - k.h*h - hso4
}
