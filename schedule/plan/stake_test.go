package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/schedule/record"
)

// Lateness costs no more than what it can harm is worth. A plan of a machine of which
// nothing had been done for years once put it at 9,086,210 minutes of its owner's time,
// which nobody has: seventeen years, day and night. Now it comes to what is at stake in its
// tasks together, at the most, and nearly to that, whatever their number of lives.
func TestLatenessCostsNoMoreThanIsAtStake(t *testing.T) {
	const once = 9_086_210.0 // minutes
	const stake = 90.0
	prices := UsualPrices()
	random := rand.New(rand.NewPCG(9086210, 1))
	whole, bounded, atStake := 0.0, 0.0, 0.0
	for range 30 {
		task := invented("t", 30, 2+20*random.Float64(), 0.3*random.Float64(), record.Date(700+random.IntN(2000)))
		task.Steep = 2
		price := func(stake float64) Price {
			task.Stake = stake
			pricer := NewPricer(&task, &prices, task.Fresh) // all of its lateness lies ahead
			return pricer.On(testToday + 365)
		}
		free, p := price(0), price(stake)
		whole, bounded, atStake = whole+free.Harm, bounded+p.Harm, atStake+stake
		if p.Harm > stake || p.Harm < 0.9*stake {
			t.Errorf("%.0f days late costs %.0f minutes, of %.0f at stake", p.Late, p.Harm, stake)
		}
		if math.Abs(free.Late-p.Late) > 1e-9 || free.Risk != p.Risk {
			t.Errorf("what is at stake moves lateness: %+v, %+v", free, p)
		}
	}
	if whole < once {
		t.Errorf("without a bound the tasks together cost %.0f minutes: they are too few or too little late to try it", whole)
	}
	if bounded > atStake {
		t.Errorf("lateness costs %.0f minutes, of %.0f at stake", bounded, atStake)
	}
}
