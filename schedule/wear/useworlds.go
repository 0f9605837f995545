package wear

import (
	"strconv"

	"limekeep/schedule/use"
	"limekeep/water/figure"
)

// useWorlds is how one machine's use differs from its course, world by world.
type useWorlds struct {
	certain  []use.Day   // written down, by step
	expected []use.Day   // by habit or forecast, by step
	unlogged []float64   // factor on past days that nobody wrote down
	future   []float64   // factor on the rate to come
	hours    []float64   // factor on the hours that the machine is hot, past and to come
	milk     []float64   // factor on the steam for milk, where nobody said how much
	months   [][]float64 // factor of each thirty days to come by itself
	days     []float64   // of each step
	of       []int       // which of months each step is in; -1 in the past
}

// monthDays is the step of the noise of use.
const monthDays = 30

func newUseWorlds(d Draws, machine string, c *use.Timeline, s span, g grid) *useWorlds {
	block := "use/" + machine
	u := &useWorlds{
		certain: make([]use.Day, g.steps()), expected: make([]use.Day, g.steps()),
		unlogged: figure.LogNormal(d.Uniforms(block, "unlogged past"), c.Spread.Unlogged),
		future:   figure.LogNormal(d.Uniforms(block, "rate to come"), c.Spread.Future),
		hours:    figure.LogNormal(d.Uniforms(block, "hours hot"), c.Spread.Hours),
	}
	u.milk = d.Uniforms(block, "milk")
	for w, uniform := range u.milk {
		u.milk[w] = c.Spread.Milk.Factor(figure.NormalQuantile(uniform))
	}
	first := int(s.today) / monthDays // counted from a fixed day
	for m := first; m <= int(s.last)/monthDays; m++ {
		u.months = append(u.months, figure.LogNormal(d.Uniforms(block, "month/"+strconv.Itoa(m)), c.Spread.Month))
	}
	for i := range g.steps() {
		u.days = append(u.days, g.days(i))
		month := -1
		if on := g.knots[i] + 1; on > s.today {
			month = int(on)/monthDays - first
		}
		u.of = append(u.of, month)
		for date := g.knots[i] + 1; date <= g.knots[i+1]; date++ {
			day := c.On(date)
			if day.Known() {
				u.certain[i] = addUse(u.certain[i], day)
			} else {
				u.expected[i] = addUse(u.expected[i], day)
			}
		}
	}
	return u
}

func addUse(a, b use.Day) use.Day {
	return use.Day{
		Shots: a.Shots + b.Shots, Kilograms: a.Kilograms + b.Kilograms, HotHours: a.HotHours + b.HotHours,
		BrewLitres: a.BrewLitres + b.BrewLitres, SteamLitres: a.SteamLitres + b.SteamLitres,
		HotWaterLitres: a.HotWaterLitres + b.HotWaterLitres,
	}
}

// step gives the use of one step in one world. More drinks do not make more
// hours: those have a spread of their own, the same past and to come, since nobody
// writes down when a machine is hot.
func (u *useWorlds) step(i, world int) use.Day {
	factor := u.unlogged[world]
	if month := u.of[i]; month >= 0 {
		factor = u.future[world] * u.months[month][world]
	}
	c, e := &u.certain[i], &u.expected[i]
	return use.Day{
		Shots:          c.Shots + factor*e.Shots,
		Kilograms:      c.Kilograms + factor*e.Kilograms,
		HotHours:       min(u.hours[world]*(c.HotHours+e.HotHours), 24*u.days[i]),
		BrewLitres:     c.BrewLitres + factor*e.BrewLitres,
		SteamLitres:    c.SteamLitres + factor*u.milk[world]*e.SteamLitres,
		HotWaterLitres: c.HotWaterLitres + factor*e.HotWaterLitres,
	}
}
