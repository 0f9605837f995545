package potential

import "math"

// interval maps numbers between least and most onto -1 to 1 and back.
type interval struct {
	least, most float64
}

// unit maps onto -1 to 1; what lies outside the interval goes to its edge.
func (v interval) unit(x float64) float64 {
	x = (2*x - v.most - v.least) / (v.most - v.least)
	return max(-1, min(1, x))
}

// at maps -1 to 1 back.
func (v interval) at(x float64) float64 {
	return (v.most+v.least)/2 + x*(v.most-v.least)/2
}

// axis is the Chebyshev points of a polynomial on -1 to 1, the zeros of the
// Chebyshev polynomial of that order, and the matrix that turns values at the
// points into coefficients of powers: coefficient k is the sum over i of
// powers[k][i] times value i.
type axis struct {
	points []float64
	powers [][]float64
}

// potentialAxes holds an axis for every number of points in use.
var potentialAxes = [...]axis{2: newAxis(2), 3: newAxis(3), 4: newAxis(4), 5: newAxis(5), 6: newAxis(6)}

// newAxis multiplies Lagrange's polynomials out.
func newAxis(n int) axis {
	a := axis{points: make([]float64, n), powers: make([][]float64, n)}
	for i := range n {
		a.points[i] = -math.Cos(math.Pi * (float64(i) + 0.5) / float64(n))
		a.powers[i] = make([]float64, n)
	}
	for i, x := range a.points {
		poly := []float64{1}
		for j, other := range a.points {
			if j == i {
				continue
			}
			next := make([]float64, len(poly)+1)
			for k, c := range poly {
				next[k] -= c * other / (x - other)
				next[k+1] += c / (x - other)
			}
			poly = next
		}
		for k, c := range poly {
			a.powers[k][i] = c
		}
	}
	return a
}

// apply replaces n values at the points by coefficients.
func (a *axis) apply(at func(i int) *float64) {
	var in [8]float64
	for i := range a.points {
		in[i] = *at(i)
	}
	for k, row := range a.powers {
		var sum float64
		for i, c := range row {
			sum += c * in[i]
		}
		*at(k) = sum
	}
}

// toPowers turns a table of values at the points of three axes into
// coefficients of powers, in place.
func toPowers(nx, ny, nz int, at func(i, j, k int) *float64) {
	x, y, z := &potentialAxes[nx], &potentialAxes[ny], &potentialAxes[nz]
	for i := range nx {
		for j := range ny {
			z.apply(func(k int) *float64 { return at(i, j, k) })
		}
		for k := range nz {
			y.apply(func(j int) *float64 { return at(i, j, k) })
		}
	}
	for j := range ny {
		for k := range nz {
			x.apply(func(i int) *float64 { return at(i, j, k) })
		}
	}
}
