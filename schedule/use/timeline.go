package use

import (
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Timeline is the use of one machine over time: what was, up to and with Today,
// and what is expected after it.
type Timeline struct {
	Machine string
	First   record.Date // day of Days[0]
	Today   record.Date
	Days    []Day
	Rate    Rate // how the days to come were arrived at
	Spread  Spread
	Batches int     // how many batches of records the past came from
	Logged  int     // how many past days were written down
	Totals  []Total // by bags and water meters, those that this machine has a part in
	Assumed bool    // nobody stated how much is drunk, so it is what is usual of such places
	Absent  float64 // share of the days to come on which nobody is expected to be there

	says   [][]Origin
	learnt *learning
	water  waterFactor
}

// Spread is how uncertain the use is, as log standard deviations of factors.
type Spread struct {
	Unlogged float64  // on all past days of which nothing is known but the habit
	Future   float64  // on the rate of the days to come
	Habit    float64  // part of Future that unlogged past days share: a habit stated wrongly is wrong for both
	Month    float64  // on each thirty days to come by themselves
	Milk     Milk     // on the steam for milk, past and to come
	HotWater HotWater // on the hot water, past and to come
	Water    float64  // on the litres that the drinks of any day take
	Hours    float64  // on the hours that the machine is hot, past and to come
}

// Milk is how uncertain the share of drinks with steamed milk is where nobody said it:
// the logit of the share is normal. The zero Milk is one that was said.
type Milk struct {
	Share   float64 // the middle, 0 to 1
	LogitSD float64
}

// At returns the share at so many standard deviations from the middle.
func (m Milk) At(normal float64) float64 {
	if m.LogitSD == 0 || m.Share <= 0 || m.Share >= 1 {
		return m.Share
	}
	odds := m.Share / (1 - m.Share) * math.Exp(m.LogitSD*normal)
	return odds / (1 + odds)
}

// Factor returns the share at so many standard deviations, divided by the middle.
func (m Milk) Factor(normal float64) float64 {
	if m.LogitSD == 0 || m.Share <= 0 {
		return 1
	}
	return m.At(normal) / m.Share
}

// Percentiles returns the points of the share; zeros where it was said.
func (m Milk) Percentiles() figure.Percentiles {
	if m.LogitSD == 0 {
		return figure.Percentiles{}
	}
	return figure.By(func(p float64) float64 { return m.At(figure.NormalQuantile(p)) })
}

// How uncertain the days to come are beside what the log tells. Both are
// assumptions.
const (
	yearLogSD  = 0.08 // a long log against the year that follows
	monthLogSD = 0.08 // guests, holidays and illness, month by month
	monthDays  = 30
)

// NewTimeline works out the use of a machine from its first day, or first, the
// later of the two, to last.
func NewTimeline(book *record.Book, machine record.Equipment, first, last record.Date) *Timeline {
	t := &Timeline{Machine: machine.ID, First: max(first, machine.FirstDay()), Today: book.Until}
	last = max(last, t.First)
	p := pastOf(book, machine, t.First)
	t.Totals, t.water = correctShared(book, p)
	t.learnt = learn(p)
	t.Rate = t.learnt.rate(p, t.Today)
	t.Batches = p.batches
	t.says = p.says
	t.Days = make([]Day, last-t.First+1)
	copy(t.Days, p.days)
	for _, d := range t.Days[:min(len(t.Days), len(p.days))] {
		if d.Logged {
			t.Logged++
		}
	}
	t.Absent = t.learnt.absence.share()
	learnt := learnDrinks(p, p.habits.on(t.Today))
	t.fillFuture(book, p, learnt)
	t.tellHours(book.HotHours(machine.ID))
	t.Assumed = p.habits.on(t.Today).assumed
	unlogged, rate := p.habits.on(t.Today).logSD(), logSD(t.factorVariance(0))
	t.Spread = Spread{
		Unlogged: unlogged,
		Future:   math.Hypot(yearLogSD, rate),
		Habit:    rate * min(1, rate/unlogged),
		Month:    logSD(t.noise(monthDays, t.Rate.Weekly()/7*monthDays*(1-t.Absent))),
		Water:    t.water.logSD(),
		Hours:    p.habits.on(t.Today).hot.logSD(slices.ContainsFunc(p.drawn, func(u record.UseDay) bool { return u.HalfHours != 0 })),
	}
	if learnt.milkAssumed {
		t.Spread.Milk = Milk{Share: learnt.steamedShare, LogitSD: milkLogitSD * learnt.milkWeight}
	}
	t.Spread.HotWater = learnt.hotWater
	return t
}

// correctShared brings the days of a machine, and of those that share its line
// or its grinder, into agreement with bags and meters, and gives the totals that
// the machine has a part in.
func correctShared(book *record.Book, own *past) ([]Total, waterFactor) {
	if !measured(book) {
		return nil, waterFactor{}
	}
	pasts := sharedPasts(book, own)
	var mine []Total
	grinders := map[string]bool{}
	for _, e := range book.Equipment() {
		if e.Grinder != nil && slices.Contains(e.Grinder.Serves, own.machine.ID) {
			grinders[e.ID] = true
		}
	}
	for _, t := range correctByBags(book, pasts) {
		if grinders[t.Of] {
			mine = append(mine, t)
		}
	}
	totals, perDrink := correctByMeters(book, pasts)
	for _, t := range totals {
		if t.Of == own.machine.Machine.Line {
			mine = append(mine, t)
		}
	}
	return mine, perDrink[own.machine.ID]
}

// measured reports whether there is a bag or a reading in the book at all.
func measured(book *record.Book) bool {
	return slices.ContainsFunc(book.Entries, func(e record.Entry) bool {
		kind := e.Kind()
		return kind == record.KindBag || kind == record.KindMeterReading
	})
}

// fillFuture writes the days after today.
func (t *Timeline) fillFuture(book *record.Book, p *past, learnt drinks) {
	begin := max(t.First, t.Today+1)
	ahead := int(t.First) + len(t.Days) - int(begin)
	if ahead <= 0 {
		return
	}
	away, guests := awayOf(book, t.Machine, begin, ahead), guestsOf(book, t.Machine, begin, ahead)
	now := p.habits.index(t.Today)
	there := 1 - t.Absent
	factor := t.water.factor()
	for i := range ahead {
		on := begin + record.Date(i)
		if away[i] {
			continue
		}
		d, shots := learnt, t.Rate.Of(on)
		if h := p.habits.index(on); h != now {
			d = p.habits[h] // a habit that begins on a day to come
			shots = d.shots(on)
		}
		day := d.expected(on, shots+guests[i]).drunk(there).watered(factor)
		day.HotHours *= there
		day.Basis = ByForecast
		t.Days[on-t.First] = day
	}
}

// On returns the day of a date; an empty day where the timeline does not reach.
func (t *Timeline) On(d record.Date) Day {
	i := int(d - t.First)
	if i < 0 || i >= len(t.Days) {
		return Day{}
	}
	return t.Days[i]
}

// Origins returns the records that speak of a day, those that count first; none
// where it rests on the habit.
func (t *Timeline) Origins(d record.Date) []Origin {
	i := int(d - t.First)
	if i < 0 || i >= len(t.says) {
		return nil
	}
	return t.says[i]
}
