package use

import (
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/schedule/record"
)

// household is a simulated one. It is drawn and lives by code of its own, which
// shares nothing with the forecast: its days differ by a log-normal mood over a
// Poisson count, it travels, has guests nobody wrote down, and changes its habit
// once. All figures are invented.
type household struct {
	random         *rand.Rand
	weekday        [7]float64 // shots by day of the week, before the change
	changed        [7]float64 // and after it
	change         record.Date
	mood           float64 // log standard deviation of a day
	yield, dose    float64
	milk           float64 // chance that a shot gets it
	flush, warmUp  float64 // litres a shot, litres a day
	steam          float64 // litres a milk drink
	away           map[record.Date]bool
	kept           []record.Entry // what it wrote down beside its log
	stated         record.Habit
	loggedDays     int
	today, horizon record.Date
}

func drawHousehold(random *rand.Rand) *household {
	logNormal := func(middle, sd float64) float64 { return middle * math.Exp(sd*random.NormFloat64()) }
	h := &household{
		random: random, today: monday + 700, horizon: monday + 730,
		mood: 0.1 + 0.3*random.Float64(), yield: logNormal(36, 0.1), dose: 18, milk: random.Float64(),
		flush: logNormal(0.030, 0.3), warmUp: logNormal(0.1, 0.3), steam: logNormal(0.025, 0.2),
		away: map[record.Date]bool{}, loggedDays: random.IntN(400),
	}
	weekday, weekend := logNormal(4, 0.6), logNormal(5, 0.6)
	shift := logNormal(1, 0.45) // the change of habit
	for i := range h.weekday {
		h.weekday[i] = weekday * logNormal(1, 0.15)
		if i == 0 || i == 6 {
			h.weekday[i] = weekend * logNormal(1, 0.15)
		}
		h.changed[i] = h.weekday[i] * shift * logNormal(1, 0.1)
	}
	h.change = h.today - 200 + record.Date(random.IntN(215))
	for d := monday; d <= h.horizon; d++ {
		if random.Float64() < 2.0/365 { // two journeys a year
			for range 4 + random.IntN(11) {
				d++
				h.away[d] = true
			}
		}
	}
	h.stated = record.Habit{
		WeekdayShots: weekday * logNormal(1, 0.25), WeekendShots: weekend * logNormal(1, 0.25),
		SteamedShare: new(min(1, max(0, h.milk+0.1*random.NormFloat64()))), DoseGrams: 18, YieldGrams: 36,
	}
	return h
}

// live returns the shots and milk drinks of a day.
func (h *household) live(d record.Date) (shots, milk int) {
	if h.away[d] {
		return 0, 0
	}
	mean := h.weekday[d.Weekday()]
	if d >= h.change {
		mean = h.changed[d.Weekday()]
	}
	if h.random.Float64() < 0.02 { // guests
		mean += 4
	}
	mean *= math.Exp(h.mood*h.random.NormFloat64() - h.mood*h.mood/2)
	shots = poisson(h.random, mean)
	for range shots {
		if h.random.Float64() < h.milk {
			milk++
		}
	}
	return shots, milk
}

// poisson counts arrivals one by one.
func poisson(random *rand.Rand, mean float64) int {
	n := 0
	for wait := random.ExpFloat64(); wait < mean; wait += random.ExpFloat64() {
		n++
	}
	return n
}

// litres is what the drinks of a day truly took.
func (h *household) litres(shots, milk int) float64 {
	if shots == 0 {
		return 0
	}
	n := float64(shots)
	return n*(h.yield+h.dose)/1000 + n*h.flush + h.warmUp + float64(milk)*h.steam
}

// run lives up to today, keeps the log, and gives the forecast beside the truth.
func (h *household) run() (forecast Forecast, truth float64) {
	machine := record.Equipment{ID: "machine", Bought: monday, Machine: &record.Machine{Setting: record.Home, Habit: h.stated}}
	from := h.today - record.Date(h.loggedDays) + 1
	entries := h.kept
	if h.loggedDays > 0 {
		entries = append(entries, record.Entry{ID: 1, Effective: from, Body: record.UseBatch{Machine: "machine", From: from, To: h.today, File: "log.csv"}})
	}
	var days []record.UseDay
	for d := from; d <= h.today; d++ {
		shots, milk := h.live(d)
		if shots == 0 {
			continue
		}
		n := float64(shots)
		days = append(days, record.UseDay{Machine: "machine", Date: d, Record: 1, Shots: n, DosedShots: n, DoseGrams: n * h.dose,
			YieldShots: n, YieldGrams: n * h.yield, Steamed: float64(milk)})
	}
	for d := h.today + 1; d <= h.today+30; d++ {
		truth += h.litres(h.live(d))
	}
	c := NewTimeline(record.NewBook(h.today, entries, days), machine, monday, h.today+60)
	return c.Forecast(30), truth
}

// The 80 % interval of litres over the next 30 days must hold 70 to 90 % of the
// truths, over all households and in each sort of them, give or take what chance
// does to a sort. A change that lies ahead is in no record: those households are
// among all, and their own share is shown, not asked for.
func TestForecastIsCalibrated(t *testing.T) {
	const households = 2000
	const toCome = "change to come"
	random := rand.New(rand.NewPCG(20260302, 80))
	type tally struct{ n, held, below int }
	sorts := map[string]*tally{}
	count := func(sort string, a Forecast, truth float64) {
		s := sorts[sort]
		if s == nil {
			s = &tally{}
			sorts[sort] = s
		}
		s.n++
		if truth < a.Litres.Low {
			s.below++
		}
		if truth >= a.Litres.Low && truth <= a.Litres.High {
			s.held++
		}
	}
	width := 0.0
	for range households {
		h := drawHousehold(random)
		a, truth := h.run()
		count("all", a, truth)
		width += (a.Litres.High - a.Litres.Low) / a.Litres.Likely / households
		switch since := h.today - h.change; {
		case h.loggedDays < 14:
			count("hardly a log", a, truth)
		case since < 0:
			count(toCome, a, truth)
		case since < 14:
			count("change within a fortnight", a, truth)
		case since < 28:
			count("change within four weeks", a, truth)
		case since < 60:
			count("change one to two months ago", a, truth)
		default:
			count("change longer ago", a, truth)
		}
	}
	for sort, s := range sorts {
		share := float64(s.held) / float64(s.n)
		chance := 2 * math.Sqrt(0.8*0.2/float64(s.n))
		if sort != toCome && (share < 0.70-chance || share > 0.90+chance) {
			t.Errorf("%s: %.1f %% held", sort, 100*share)
		}
		t.Logf("%-30s %4d households: %.1f %% held, %.1f %% below, %.1f %% above", sort, s.n, 100*share,
			100*float64(s.below)/float64(s.n), 100*float64(s.n-s.held-s.below)/float64(s.n))
	}
	t.Logf("mean width of the interval: %.2f of the likely value", width)
	if all := sorts["all"]; all.n != households || all.held > 9*all.n/10 || all.held < 7*all.n/10 {
		t.Errorf("%d of %d held", all.held, all.n)
	}
	// An interval that says nothing would hold all.
	if width > 1 {
		t.Errorf("the intervals are %.2f as wide as what they hold", width)
	}
}
