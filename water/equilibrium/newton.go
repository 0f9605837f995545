package equilibrium

import "math"

// newton moves the logarithms until the balances close at the present ionic
// strength, and returns the length of its last step. On success the balance
// is that of the returned point.
func (s *Solver) newton(goal float64) (float64, error) {
	s.evaluate()
	var step float64
	for range innerLimit {
		var r [3]float64
		var m [3][3]float64
		s.reduce(&r, &m)
		y, ok := solveSmall(&m, &r, s.ways)
		if !ok {
			break
		}
		step = 0
		slope := 0.0
		for i := range s.ways {
			step = math.Max(step, math.Abs(y[i]))
			slope -= r[i] * y[i]
		}
		if math.IsNaN(step) || math.IsInf(step, 0) {
			break
		}
		scale := 1.0
		if step > stepMost {
			scale = stepMost / step
		}
		from := s.ln
		s.move(&from, &y, scale)
		s.evaluate()
		if s.p.given != givenAlkalinityPH && step > goal {
			s.search(&from, &y, slope, scale)
		}
		if step < goal {
			return step, nil
		}
	}
	return step, &ConvergenceError{Problem: s.p.name, Celsius: s.p.celsius, IonicStrength: s.bal.strength, Step: step}
}

// move sets the logarithms to from less y along the ways.
func (s *Solver) move(from, y *[3]float64, scale float64) {
	s.ln = *from
	for i := range s.ways {
		for j := range s.ln {
			s.ln[j] -= scale * y[i] * s.way[i][j]
		}
	}
}

// search shortens a step beyond which the convex function rises steeply: the
// slope along the step must not have turned to more than half of what it fell
// with. It leaves the balance at the point chosen.
func (s *Solver) search(from, y *[3]float64, slope, scale float64) {
	for range lineSearchLimit {
		var now float64
		for i := range s.ways {
			now -= y[i] * s.along(i)
		}
		if now <= -lineSearchGoal*slope {
			return
		}
		shorter := slope / (slope - now)
		scale *= math.Min(math.Max(shorter, 0.1), 0.9)
		s.move(from, y, scale)
		s.evaluate()
	}
}

// along is the residual in the direction of way i.
func (s *Solver) along(i int) float64 {
	w, b := &s.way[i], &s.bal
	return w[0]*b.h + w[1]*b.c + w[2]*b.s
}

// reduce writes the residuals and their derivatives along the ways.
func (s *Solver) reduce(r *[3]float64, m *[3][3]float64) {
	b := &s.bal
	full := [3][3]float64{{b.hh, b.hc, b.hs}, {b.hc, b.cc, b.cs}, {b.hs, b.cs, b.ss}}
	if s.p.given == givenAlkalinityPH {
		// Alkalinity is twice the carbonate less the protons.
		r[0], r[1] = 2*b.c-b.h, b.s
		m[0] = [3]float64{2*b.cc - b.hc, 2*b.cs - b.hs, 0}
		m[1] = [3]float64{b.cs, b.ss, 0}
		return
	}
	if s.ways == 3 {
		r[0], r[1], r[2] = b.h, b.c, b.s
		*m = full
		return
	}
	for i := range s.ways {
		r[i] = s.along(i)
		wi := &s.way[i]
		for j := range s.ways {
			wj := &s.way[j]
			sum := 0.0
			for k := range 3 {
				sum += wi[k] * (full[k][0]*wj[0] + full[k][1]*wj[1] + full[k][2]*wj[2])
			}
			m[i][j] = sum
		}
	}
}

// solveSmall solves m·y = r for the leading n by n block, n from 1 to 3, by
// elimination. The matrices are positive definite or nearly diagonal, so no
// pivoting is needed; ok is false for a vanished pivot.
func solveSmall(m *[3][3]float64, r *[3]float64, n int) (y [3]float64, ok bool) {
	a, b := *m, *r
	for k := range n {
		if !(math.Abs(a[k][k]) > 0) {
			return y, false
		}
		for i := k + 1; i < n; i++ {
			f := a[i][k] / a[k][k]
			for j := k + 1; j < n; j++ {
				a[i][j] -= f * a[k][j]
			}
			b[i] -= f * b[k]
		}
	}
	for i := n - 1; i >= 0; i-- {
		sum := b[i]
		for j := i + 1; j < n; j++ {
			sum -= a[i][j] * y[j]
		}
		y[i] = sum / a[i][i]
	}
	return y, true
}
