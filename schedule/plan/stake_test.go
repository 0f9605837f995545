package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/schedule/record"
)

// Lateness costs no more than what it can harm is worth, once for each life that is missed:
// what was ruined is replaced, and ruined again a life later. A plan of a machine of which
// nothing had been done for years once put it at 9,086,210 minutes of its owner's time,
// which nobody has: seventeen years, day and night. Now it comes to what is at stake in its
// tasks together for each of their lives, at the most, and nearly to that.
func TestLatenessCostsNoMoreThanIsAtStake(t *testing.T) {
	const once = 9_086_210.0 // minutes
	const stake = 90.0
	prices := UsualPrices()
	random := rand.New(rand.NewPCG(9086210, 1))
	whole, bounded, atStake := 0.0, 0.0, 0.0
	for range 30 {
		task := invented("t", 30, 2+20*random.Float64(), 0.3*random.Float64(), record.Date(700+random.IntN(2000)))
		task.Steep = 2
		mean := 0.0
		for _, due := range task.Due {
			mean += float64(due-task.Fresh) / float64(len(task.Due))
		}
		price := func(stake float64) Price {
			task.Stake = stake
			pricer := NewPricer(&task, &prices, task.Fresh) // all of its lateness lies ahead
			return pricer.On(testToday + 365)
		}
		free, p := price(0), price(stake)
		most := stake * (1 + p.Late/mean)
		whole, bounded, atStake = whole+free.Harm, bounded+p.Harm, atStake+most
		if p.Harm > most || p.Harm < 0.9*most {
			t.Errorf("%.0f days late costs %.0f minutes, of %.0f at stake", p.Late, p.Harm, most)
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

// However late a task is, to wait for another life costs what is at stake once more, no
// less and no more: so that what is long past is never put off for nothing.
func TestEachFurtherLifeMissedCostsTheStake(t *testing.T) {
	prices := UsualPrices()
	for _, c := range []struct{ life, late, stake float64 }{{30, 60, 20}, {30, 900, 20}, {400, 900, 1500}, {700, 700, 60}} {
		task := invented("t", 30, c.life, 0, record.Date(c.life+c.late))
		task.Stake = c.stake
		pricer := NewPricer(&task, &prices, testToday)
		if got := pricer.On(testToday + record.Date(c.life)).Harm; math.Abs(got-c.stake) > 1e-6*c.stake {
			t.Errorf("a life of %v days that is %v days late: another costs %.2f minutes, at stake are %v", c.life, c.late, got, c.stake)
		}
	}
}
