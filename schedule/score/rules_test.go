package score

import (
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/water/figure"
)

// The CRPS of a normal forecast in closed form: sd (z (2 Φ(z) - 1) + 2 φ(z) - 1/√π),
// z = (truth - mean) / sd. Gneiting and Raftery 2007, after equation 21.
func normalCRPS(mean, sd, truth float64) float64 {
	z := (truth - mean) / sd
	density := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	return sd * (z*(2*figure.NormalBelow(z)-1) + 2*density - 1/math.Sqrt(math.Pi))
}

func TestCRPSOfNormals(t *testing.T) {
	for _, c := range []struct{ mean, sd, truth float64 }{{0, 1, 0}, {0, 1, 2}, {3, 0.5, 2.2}, {-1, 4, 5}} {
		var values []float64
		const n = 2000
		for i := range n {
			values = append(values, c.mean+c.sd*figure.NormalQuantile((float64(i)+0.5)/n))
		}
		if got, want := CRPS(values, c.truth), normalCRPS(c.mean, c.sd, c.truth); math.Abs(got-want) > 0.002*c.sd {
			t.Errorf("N(%g, %g) at %g: %.5f, in closed form %.5f", c.mean, c.sd, c.truth, got, want)
		}
	}
	// Of a point it is the distance, as the paper says.
	if got := CRPS([]float64{3}, 5.5); got != 2.5 {
		t.Errorf("a point 2.5 away scores %g", got)
	}
	// Standard normal at its mean: (√2 - 1)/√π, 0.2337.
	if got := normalCRPS(0, 1, 0); math.Abs(got-(math.Sqrt2-1)/math.Sqrt(math.Pi)) > 1e-12 {
		t.Errorf("the closed form itself gives %g", got)
	}
}

// Equation 43 of the paper, term by term: inside only the width counts; outside a
// distance d costs 2/alpha d more.
func TestIntervalScore(t *testing.T) {
	for _, c := range []struct{ low, high, alpha, truth, want float64 }{
		{10, 20, 0.2, 15, 10}, {10, 20, 0.2, 10, 10}, {10, 20, 0.2, 8, 10 + 20}, {10, 20, 0.1, 23, 10 + 60}, {5, 5, 0.2, 7, 20},
	} {
		if got := IntervalScore(c.low, c.high, c.alpha, c.truth); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("[%g, %g] at alpha %g with truth %g: %g, want %g", c.low, c.high, c.alpha, c.truth, got, c.want)
		}
	}
}

// A rule is proper when nobody scores better on the average than by saying what is
// true (the definition in the paper): of what has only an order, the truth beats
// every other statement of a grid.
func TestRankedProbabilityIsProper(t *testing.T) {
	truth := []float64{0.2, 0.5, 0.3}
	expected := func(said []float64) float64 {
		sum := 0.0
		for found, p := range truth {
			sum += p * RankedProbability(said, found)
		}
		return sum
	}
	best := expected(truth)
	for a := 0.0; a <= 1; a += 0.05 {
		for b := 0.0; a+b <= 1; b += 0.05 {
			if got := expected([]float64{a, b, 1 - a - b}); got < best-1e-12 {
				t.Errorf("%.2f, %.2f scores %.4f, the truth %.4f", a, b, got, best)
			}
		}
	}
	if RankedProbability([]float64{1, 0, 0}, 0) != 0 || RankedProbability([]float64{1, 0, 0}, 2) != 1 {
		t.Error("all on what was found is 0, all on the far end 1")
	}
}

// Clopper and Pearson's interval in its textbook case: all of n inside leaves
// tail^(1/n) as the lower bound, none inside 1 - tail^(1/n) as the upper one. And
// 15 of 20 at 90 %: 0.544 to 0.896 (R's binom.test(15, 20, conf.level = 0.9), from
// memory; it agrees with the sums of the binomial below).
func TestClopperPearson(t *testing.T) {
	for _, n := range []int{1, 5, 14, 100} {
		low, high := ClopperPearson(float64(n), n)
		if want := math.Pow(0.05, 1/float64(n)); math.Abs(low-want) > 1e-9 || high != 1 {
			t.Errorf("%d of %d: %g to %g, want %g to 1", n, n, low, high, want)
		}
		low, high = ClopperPearson(0, n)
		if want := 1 - math.Pow(0.05, 1/float64(n)); math.Abs(high-want) > 1e-9 || low != 0 {
			t.Errorf("none of %d: %g to %g, want 0 to %g", n, low, high, want)
		}
	}
	low, high := ClopperPearson(15, 20)
	tail := func(p float64, from, to int) float64 {
		sum := 0.0
		for k := from; k <= to; k++ {
			log, _ := math.Lgamma(21)
			a, _ := math.Lgamma(float64(k) + 1)
			b, _ := math.Lgamma(float64(20-k) + 1)
			sum += math.Exp(log - a - b + float64(k)*math.Log(p) + float64(20-k)*math.Log(1-p))
		}
		return sum
	}
	if a, b := tail(low, 15, 20), tail(high, 0, 15); math.Abs(a-0.05) > 1e-9 || math.Abs(b-0.05) > 1e-9 {
		t.Errorf("15 of 20: %g to %g leave %g and %g in the tails, want 0.05 each", low, high, a, b)
	}
	if low < 0.53 || low > 0.56 || high < 0.88 || high > 0.91 {
		t.Errorf("15 of 20: %g to %g", low, high)
	}
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		held  float64
		cases int
		want  Verdict
	}{{0, 0, TooFew}, {3, 3, TooFew}, {13, 13, TooFew}, {14, 14, TooWide}, {12, 14, AsPromised}, {0, 2, TooNarrow}, {1, 3, TooFew}, {50, 100, TooNarrow}, {97, 100, TooWide}} {
		if got := judge(c.held, c.cases); got != c.want {
			t.Errorf("%g of %d: %q, want %q", c.held, c.cases, got, c.want)
		}
	}
	if CasesToTell != 14 {
		t.Errorf("one can tell from %d on; 0.8^13 is 0.055, 0.8^14 is 0.044", CasesToTell)
	}
}

// What is found of worlds drawn from the forecast itself fills all classes alike:
// chi-square with four degrees of freedom stays below 13.28, its 99 % point (any
// table). Of a forecast with half the spread it does not.
func TestClassesAreEvenForAnHonestForecast(t *testing.T) {
	chiSquare := func(sd float64) float64 {
		r := rand.New(rand.NewPCG(7, 8))
		var cases []Case
		const n = 1500
		for range n {
			expected := make(distribution, fineness)
			middle := math.Log(0.3) + r.Float64()*math.Log(8)
			for i := range expected {
				expected[i] = math.Exp(middle + sd*figure.NormalQuantile((float64(i)+0.5)/fineness))
			}
			truth := math.Exp(middle + 0.5*r.NormFloat64())
			seen, k := truth*math.Exp(0.35*r.NormFloat64()), 0 // as loosely as parts are told apart
			for _, bound := range []float64{0.5, 1.25} {
				if seen >= bound {
					k++
				}
			}
			c := Case{Found: []string{"fresh", "worn", "failed"}[k]}
			if !c.seen(expected, partEyes, []string{"fresh", "worn", "failed"}) {
				t.Fatal("not seen")
			}
			cases = append(cases, c)
		}
		sum := 0.0
		for _, count := range sortInto(cases) {
			off := count - n/pitClasses
			sum += off * off / (n / pitClasses)
		}
		return sum
	}
	if got := chiSquare(0.5); got > 13.28 {
		t.Errorf("chi-square of an honest forecast: %.1f", got)
	}
	if got := chiSquare(0.1); got < 13.28 {
		t.Errorf("chi-square of one that is too sure: %.1f", got)
	}
}
