package wear

import (
	"math"
	"strconv"

	"limekeep/schedule/use"
	"limekeep/water/figure"
)

// useWorlds is how one machine's use differs from its course, world by world.
type useWorlds struct {
	certain   drunk       // written down, by step
	expected  drunk       // by habit or forecast, by step
	guessed   guesswork   // of what was written down, by step
	sure      int         // how many steps, from the first, are all written down, and so the same in every world
	hotHours  []float64   // by step
	mostHours []float64   // that a step has
	unlogged  []float64   // factor on past days that nobody wrote down
	future    []float64   // factor on the rate to come
	hours     []float64   // factor on the hours that the machine is hot, past and to come
	milk      []float64   // factor on the steam for milk, where nobody said how much
	water     []float64   // factor on the hot water, where nobody said how much
	months    [][]float64 // factor of each thirty days to come by itself
	stretches []useStretch
}

// useStretch is steps, up to one of them, on whose use one factor stands.
type useStretch struct {
	from, to int
	month    int // which of months; -1 in the past
}

// drunk is what was drawn from a machine, a row for each amount, by step.
type drunk struct {
	shots, kilograms, brewLitres, steamLitres, hotWaterLitres []float64
}

// guesswork is what nobody said of what was written down, in litres by step.
type guesswork struct{ steam, hotWater []float64 }

func newDrunk(steps int) drunk {
	row := func() []float64 { return make([]float64, steps) }
	return drunk{shots: row(), kilograms: row(), brewLitres: row(), steamLitres: row(), hotWaterLitres: row()}
}

// set notes the use of a step.
func (d *drunk) set(i int, day use.Day) {
	d.shots[i], d.kilograms[i] = day.Shots, day.Kilograms
	d.brewLitres[i], d.steamLitres[i], d.hotWaterLitres[i] = day.BrewLitres, day.SteamLitres, day.HotWaterLitres
}

// monthDays is the step of the noise of use.
const monthDays = 30

func newUseWorlds(d Draws, machine string, c *use.Timeline, s span, g grid) *useWorlds {
	block := "use/" + machine
	u := &useWorlds{
		certain: newDrunk(g.steps()), expected: newDrunk(g.steps()),
		unlogged: figure.LogNormal(d.Uniforms(block, "unlogged past"), c.Spread.Unlogged),
		future:   futureRates(d, block, c.Spread),
		hours:    figure.LogNormal(d.Uniforms(block, "hours hot"), c.Spread.Hours),
	}
	u.milk = d.Uniforms(block, "milk")
	for w, uniform := range u.milk {
		u.milk[w] = c.Spread.Milk.Factor(figure.NormalQuantile(uniform))
	}
	u.water = d.Uniforms(block, "hot water")
	for w, uniform := range u.water {
		u.water[w] = c.Spread.HotWater.Factor(uniform)
	}
	first := int(s.today) / monthDays // counted from a fixed day
	for m := first; m <= int(s.last)/monthDays; m++ {
		u.months = append(u.months, figure.LogNormal(d.Uniforms(block, "month/"+strconv.Itoa(m)), c.Spread.Month))
	}
	allSure := true
	for i := range g.steps() {
		month := -1
		if on := g.knots[i] + 1; on > s.today {
			month = int(on)/monthDays - first
		}
		if n := len(u.stretches); n == 0 || u.stretches[n-1].month != month {
			u.stretches = append(u.stretches, useStretch{from: i, month: month})
		}
		u.stretches[len(u.stretches)-1].to = i + 1
		var certain, expected use.Day
		for date := g.knots[i] + 1; date <= g.knots[i+1]; date++ {
			day := c.On(date)
			if day.Known() {
				certain = addUse(certain, day)
			} else {
				expected = addUse(expected, day)
			}
		}
		u.guessed.steam = append(u.guessed.steam, certain.GuessedSteamLitres)
		u.guessed.hotWater = append(u.guessed.hotWater, certain.GuessedHotWaterLitres)
		certain.SteamLitres -= certain.GuessedSteamLitres
		certain.HotWaterLitres -= certain.GuessedHotWaterLitres
		u.certain.set(i, certain)
		u.expected.set(i, expected)
		u.hotHours = append(u.hotHours, certain.HotHours+expected.HotHours)
		u.mostHours = append(u.mostHours, 24*g.days(i))
		expected.HotHours = 0 // those have a spread of their own
		if allSure = allSure && expected == (use.Day{}) && certain.GuessedSteamLitres+certain.GuessedHotWaterLitres == 0; allSure {
			u.sure = i + 1
		}
	}
	return u
}

// futureRates draws the factor on the rate to come. What is wrong with a habit is wrong
// for unlogged past days and for days to come alike, as far as no log has put it right.
func futureRates(d Draws, block string, s use.Spread) []float64 {
	rates := d.Uniforms(block, "rate to come")
	past := d.Uniforms(block, "unlogged past")
	alone := math.Sqrt(max(0, s.Future*s.Future-s.Habit*s.Habit))
	for w := range rates {
		rates[w] = math.Exp(s.Habit*figure.NormalQuantile(past[w]) + alone*figure.NormalQuantile(rates[w]))
	}
	return rates
}

func addUse(a, b use.Day) use.Day {
	return use.Day{
		Shots: a.Shots + b.Shots, Kilograms: a.Kilograms + b.Kilograms, HotHours: a.HotHours + b.HotHours,
		BrewLitres: a.BrewLitres + b.BrewLitres, SteamLitres: a.SteamLitres + b.SteamLitres,
		HotWaterLitres:     a.HotWaterLitres + b.HotWaterLitres,
		GuessedSteamLitres: a.GuessedSteamLitres + b.GuessedSteamLitres, GuessedHotWaterLitres: a.GuessedHotWaterLitres + b.GuessedHotWaterLitres,
	}
}

// factor is what stands on the use of a stretch in a world.
func (u *useWorlds) factor(s useStretch, world int) float64 {
	if s.month < 0 {
		return u.unlogged[world]
	}
	return u.future[world] * u.months[s.month][world]
}

// draw fills in what is drawn on some steps where a factor stands on what is expected,
// and those of a world on its milk and its hot water: all of it, or only what flows.
func (u *useWorlds) draw(to *drunk, from, end int, factor, milk, water float64, flowsOnly bool) {
	if !flowsOnly {
		spread(to.shots[from:end], u.certain.shots[from:end], u.expected.shots[from:end], factor)
		spread(to.kilograms[from:end], u.certain.kilograms[from:end], u.expected.kilograms[from:end], factor)
	}
	spread(to.brewLitres[from:end], u.certain.brewLitres[from:end], u.expected.brewLitres[from:end], factor)
	spread(to.steamLitres[from:end], u.certain.steamLitres[from:end], u.expected.steamLitres[from:end], factor*milk)
	spread(to.hotWaterLitres[from:end], u.certain.hotWaterLitres[from:end], u.expected.hotWaterLitres[from:end], factor*water)
	addTimes(to.steamLitres[from:end], u.guessed.steam[from:end], milk)
	addTimes(to.hotWaterLitres[from:end], u.guessed.hotWater[from:end], water)
}

// addTimes adds a factor's worth of something to what is there.
func addTimes(to, of []float64, factor float64) {
	of = of[:len(to)]
	for i := range to {
		to[i] += factor * of[i]
	}
}

// spread adds a factor's worth of what is expected to what is certain.
func spread(to, certain, expected []float64, factor float64) {
	certain, expected = certain[:len(to)], expected[:len(to)]
	for i := range to {
		to[i] = certain[i] + factor*expected[i]
	}
}

// sumHours sums the hours that the machine is hot in a world. They have a spread of
// their own, the same past and to come, since nobody writes down when a machine is hot.
func (u *useWorlds) sumHours(total []float64, world int) {
	factor, sum := u.hours[world], total[0]
	total = total[1:]
	most := u.mostHours[:len(total)]
	for i, hours := range u.hotHours[:len(total)] {
		sum += min(factor*hours, most[i])
		total[i] = sum
	}
}
