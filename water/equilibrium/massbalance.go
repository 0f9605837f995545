package equilibrium

import "math"

// balance is one trial of the mass balances: the amounts that follow from the
// activities of H+, CO3-2 and SO4-2, and how the sums change with their
// logarithms.
//
// With every free cation eliminated, the three sums below are the gradient of
// the Gibbs energy's dual, a convex function of the three logarithms, and the
// matrix is its second derivative: symmetric and positive definite whatever
// the trial. Newton's method with a line search therefore finds the one
// solution from anywhere. Minerals in equilibrium only restrict the same
// function to a plane.
type balance struct {
	// Sums over dissolved species and escaped CO2, mol/kg: protons counted as
	// H+ bound minus H+ given up by water and H4SiO4, carbonate, sulfate. A
	// mineral that holds calcium or magnesium adds its cation's balance.
	h, c, s float64
	// Second derivatives.
	hh, hc, hs, cc, cs, ss float64

	carbon, sulfate, protons float64 // dissolved, mol/kg, minerals left out
	escaped                  float64 // CO2 in the gas, mol per kg of water
	calcium, magnesium       float64 // dissolved, mol/kg
	strength                 float64 // ionic strength, mol/kg
	solutes                  float64 // sum of all solutes, mol/kg
	freeCa, freeMg, freeSi   float64 // activities
}

// family is a free cation (or H4SiO4) and all it is bound in, for an activity
// of one: the sum, its first and its second moments in the numbers of H+,
// CO3-2 and SO4-2 bound.
type family struct {
	sum                    float64
	h, c, s                float64
	hh, hc, hs, cc, cs, ss float64
	strength               float64
}

// share adds a family whose total is known, mol/kg, and returns the activity
// of its free cation.
func (b *balance) share(f *family, total float64) float64 {
	a := total / f.sum
	h, c, s := f.h/f.sum, f.c/f.sum, f.s/f.sum
	b.h += total * h
	b.c += total * c
	b.s += total * s
	b.hh += a*f.hh - total*h*h
	b.hc += a*f.hc - total*h*c
	b.hs += a*f.hs - total*h*s
	b.cc += a*f.cc - total*c*c
	b.cs += a*f.cs - total*c*s
	b.ss += a*f.ss - total*s*s
	b.count(f, a, total)
	return a
}

// hold adds a family whose free cation a mineral holds at activity a, that
// activity rising as the powers nh, nc, ns of those of H+, CO3-2 and SO4-2. It
// returns the total dissolved, mol/kg.
func (b *balance) hold(f *family, a, nh, nc, ns float64) float64 {
	total := a * f.sum
	h, c, s := a*f.h, a*f.c, a*f.s
	b.h += h + nh*total
	b.c += c + nc*total
	b.s += s + ns*total
	b.hh += a*f.hh + 2*nh*h + nh*nh*total
	b.hc += a*f.hc + nh*c + nc*h + nh*nc*total
	b.hs += a*f.hs + nh*s + ns*h + nh*ns*total
	b.cc += a*f.cc + 2*nc*c + nc*nc*total
	b.cs += a*f.cs + nc*s + ns*c + nc*ns*total
	b.ss += a*f.ss + 2*ns*s + ns*ns*total
	b.count(f, a, total)
	return total
}

// alkali adds Na+ or K+ of a known total, mol/kg, from the amounts for an
// activity of one of the free ion and of its pairs with HCO3-, with SO4-2 and,
// for an activity of one squared, of two of it with SO4-2.
func (b *balance) alkali(total, free, hco3, so4, twoSO4 float64) {
	sum := free + hco3 + so4
	a := 2 * total / (sum + math.Sqrt(sum*sum+8*twoSO4*total))
	n, n1, n2 := a*hco3, a*so4, a*a*twoSO4
	own := a*sum + 4*n2 // second derivative in the free ion itself
	vs := n1 + 2*n2
	b.h += n
	b.c += n
	b.s += n1 + n2
	less := n * n / own
	b.hh += n - less
	b.hc += n - less
	b.cc += n - less
	b.hs -= n * vs / own
	b.cs -= n * vs / own
	b.ss += n1 + n2 - vs*vs/own
	b.protons += n
	b.carbon += n
	b.sulfate += n1 + n2
	b.strength += a * (free + so4) / 2
	b.solutes += a*sum + n2
}

// count adds a family to the sums that are reported.
func (b *balance) count(f *family, a, total float64) {
	b.protons += a * f.h
	b.carbon += a * f.c
	b.sulfate += a * f.s
	b.strength += a * f.strength
	b.solutes += total
}

// bare fills the balance with everything that is bound to no cation. gas is
// the CO2 that escapes, mol/kg at unit activities.
func (b *balance) bare(k *conditional, h, c, s, gas float64) {
	hc := h * c
	nH, nOH := k.h*h, k.oh/h
	nCO3, nHCO3, nCO2 := k.co3*c, k.hco3*hc, k.co2*h*hc
	nSO4, nHSO4 := k.so4*s, k.hso4*h*s
	escaped := gas * h * hc
	all := nCO2 + escaped
	*b = balance{
		h:        nH - nOH + nHCO3 + 2*all + nHSO4,
		c:        nCO3 + nHCO3 + all,
		s:        nSO4 + nHSO4,
		hh:       nH + nOH + nHCO3 + 4*all + nHSO4,
		hc:       nHCO3 + 2*all,
		hs:       nHSO4,
		cc:       nCO3 + nHCO3 + all,
		ss:       nSO4 + nHSO4,
		protons:  nH - nOH + nHCO3 + 2*nCO2 + nHSO4,
		carbon:   nCO3 + nHCO3 + nCO2,
		sulfate:  nSO4 + nHSO4,
		escaped:  escaped,
		strength: (nH+nOH+nHCO3+nHSO4)/2 + 2*(nCO3+nSO4),
		solutes:  nH + nOH + nCO3 + nHCO3 + nCO2 + nSO4 + nHSO4,
	}
}

// calcium is Ca+2 and its pairs.
func (f *family) calcium(k *conditional, h, c, s float64) {
	free, oh := k.ca, k.caOH/h
	co3, hco3 := k.caCO3*c, k.caHCO3*h*c
	so4, hso4 := k.caSO4*s, k.caHSO4*h*s
	*f = family{
		sum: free + oh + co3 + hco3 + so4 + hso4,
		h:   hco3 + hso4 - oh, c: co3 + hco3, s: so4 + hso4,
		hh: oh + hco3 + hso4, hc: hco3, hs: hso4,
		cc: co3 + hco3, ss: so4 + hso4,
		strength: 2*free + (oh+hco3+hso4)/2,
	}
}

// magnesium is Mg+2 and its pairs.
func (f *family) magnesium(k *conditional, h, c, s float64) {
	free, oh := k.mg, k.mgOH/h
	co3, hco3 := k.mgCO3*c, k.mgHCO3*h*c
	so4, two := k.mgSO4*s, k.mgSO42*s*s
	*f = family{
		sum: free + oh + co3 + hco3 + so4 + two,
		h:   hco3 - oh, c: co3 + hco3, s: so4 + 2*two,
		hh: oh + hco3, hc: hco3,
		cc: co3 + hco3, ss: so4 + 4*two,
		strength: 2*(free+two) + (oh+hco3)/2,
	}
}

// silica is H4SiO4 and the two ions it gives up protons to make.
func (f *family) silica(k *conditional, h float64) {
	one := k.siH3 / h
	two := k.siH2 / (h * h)
	*f = family{
		sum: k.si + one + two,
		h:   -one - 2*two, hh: one + 4*two,
		strength: one/2 + 2*two,
	}
}
