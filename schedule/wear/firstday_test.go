package wear

import (
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// The mean age of a part met at random is E[L²]/(2 E[L]) of its intervals L (Cox 1962,
// Renewal Theory), and so is that of parts that are let live one after the other until a
// day far off.
func TestAgesOfPartsMetAtRandom(t *testing.T) {
	for _, p := range []*partAges{strangersAges(), carersAges(), equipmentAges()} {
		mean := 0.0
		const steps = 4000
		for i := range steps {
			mean += p.at((float64(i)+0.5)/steps) / steps
		}
		want := p.median * math.Exp(1.5*p.logSD*p.logSD) / 2
		if math.Abs(mean/want-1) > 0.02 {
			t.Errorf("median %v, spread %v: the mean age is %.3f, want %.3f", p.median, p.logSD, mean, want)
		}
		r := rand.New(rand.NewPCG(1, 2))
		below := 0
		const parts = 4000
		for range parts {
			met, at, life := p.median*(200+100*r.Float64()), 0.0, 0.0
			for at+life < met {
				at += life
				life = p.median * math.Exp(p.logSD*r.NormFloat64())
			}
			if met-at < p.at(0.5) {
				below++
			}
		}
		if share := float64(below) / parts; math.Abs(share-0.5) > 0.03 {
			t.Errorf("median %v, spread %v: %.3f of the parts that were let live are younger than the middle age", p.median, p.logSD, share)
		}
	}
}

// firstDay is the kitchen on the first day of its records, bought in 2018 and never
// spoken of since, without a habit.
func firstDay(t *testing.T) *kitchen {
	t.Helper()
	k := newKitchen(t)
	for i := range k.equipment {
		k.equipment[i].Bought, k.equipment[i].RecordsFrom = record.NewDate(2018, 3, 1), today
	}
	k.machine().Habit = record.Habit{}
	return k
}

// A place file without a habit is not no use at all, and eight years of which nobody
// wrote anything down are neither as good as clean nor hundreds of times a limit.
func TestNothingLeftOutCountsAsZero(t *testing.T) {
	for task, o := range firstDay(t).forecast(t) {
		if len(o.Gauges) == 0 || o.Doubt != nil || o.Duty.Has(care.Away) {
			continue
		}
		reading := 0.0
		for _, g := range o.Gauges {
			if g.Gauge.Driver.Kind() == care.Dissolved {
				continue // by its feed, whoever cared
			}
			reading = max(reading, g.Reading.Likely)
			if g.PerWeek <= 0 && g.Gauge.Driver != care.ByTrend {
				t.Errorf("%s, %s: nothing is to come", task, g.Gauge.Name)
			}
		}
		if reading > 2 {
			t.Errorf("%s stands at %.1f times its limit", task, reading)
		}
		if o.Past == nil {
			continue
		}
		if o.Past.Days.High <= o.Past.Days.Low || o.Past.Days.High > float64(today-record.NewDate(2018, 3, 1)) {
			t.Errorf("%s was last done %+v days before", task, o.Past.Days)
		}
		if late := o.Window.Late; late != 0 && late-o.Window.Early < 2 {
			t.Errorf("%s has a window from %s to %s, though nobody knows its past", task, o.Window.Early, late)
		}
	}
}

// On the day of a descaling a litre to come could lay down about as much as a month
// later: the rate is that of the water to come, whatever is in the vessel.
func TestRateOnTheDayOfAService(t *testing.T) {
	const task = "machine/descale/steam"
	k := newKitchen(t)
	k.served(0, record.Service{Task: task})
	then := k.forecast(t)[task].Scale.MgPerLitre.Likely
	later := newKitchen(t)
	later.served(30, record.Service{Task: task})
	now := later.forecast(t)[task].Scale.MgPerLitre.Likely
	if then <= 0 || math.Abs(then/now-1) > 0.1 {
		t.Errorf("on the day of the service a litre could lay down %.0f mg, a month later %.0f", then, now)
	}
}

// A cartridge that was fitted in January says nothing of the years before: what came
// through then lies between nothing and all, and what stood there says which.
func TestCartridgeSaysNothingOfTheYearsBefore(t *testing.T) {
	d := Draws{Place: "kitchen", Worlds: 400}
	mean := func(before record.Before) (sum float64) {
		for _, leak := range leakBefore(d, "tap", record.Treatment{ID: "soft", Kind: record.Softener, Before: before}) {
			sum += leak / 400
		}
		return sum
	}
	if none, like, open := mean(record.NoneBefore), mean(record.LikeBefore), mean(""); none < 0.999 || like > 0.25 || open < 0.45 || open > 0.55 {
		t.Errorf("where nothing stood %.2f came through, where the like stood %.2f, where nobody says %.2f", none, like, open)
	}
}

// A look into the boiler of a machine whose past nobody knows tells how much is in it:
// after a film or a crust, as looks usually find, what four worlds in five say lies within
// half of the factor that it lay within before, as a logarithm.
func TestFirstLookNarrowsWhatIsInABoiler(t *testing.T) {
	const task = "machine/descale/brew"
	grams := func(found record.Finding) (likely, width float64) {
		k := firstDay(t)
		k.worlds = 200
		if found != "" {
			k.served(0, record.Service{Task: task, Finding: found, Left: record.OnlyLooked})
		}
		g := k.forecast(t)[task].Scale.Grams
		return g.Likely, math.Log(g.High / g.Low)
	}
	_, before := grams("")
	last := 0.0
	for _, found := range []record.Finding{record.Bare, record.Film, record.Crust} {
		likely, width := grams(found)
		if likely <= last {
			t.Errorf("%s: %.2f g, no more than of less", found, likely)
		}
		if last = likely; width > before || found != record.Bare && width > before*0.55 {
			t.Errorf("%s: what is in it lies within a factor of %.1f, before %.1f", found, math.Exp(width), math.Exp(before))
		}
	}
}
