package inference

// unmeasuredCelsius is the temperature at which the pH of a water nobody has
// tested is taken to hold, as cold mains. Assumption.
const unmeasuredCelsius = 15

// Unmeasured draws n full analyses (SetSize when n is not positive) of a water
// of which nothing is known but that people drink it: the prior alone. u is as
// for FromTest.
func Unmeasured(n int, u func(i, dim int) float64) Set {
	if n <= 0 {
		n = SetSize
	}
	pool := newSampler(nil, max(poolLeast, poolPer*n), u).run()
	return pool.thin(n, openUniform(u(0, thinDim)), unmeasuredCelsius)
}
