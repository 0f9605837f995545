package use

import "limekeep/schedule/record"

// What is drunk where nobody says: shots a day, and the share that gets milk. All are
// assumptions; half of such places lie within a factor of 1.6 of the shots, eight in ten
// within 2.5.
var usualHabits = map[record.Setting]record.Habit{
	record.Home: {WeekdayShots: 3, WeekendShots: 4, SteamedShare: new(0.5)},
	record.Bar:  {WeekdayShots: 120, WeekendShots: 120, SteamedShare: new(0.7)},
}

// Hot water where nobody says how much is drawn: in homes with a steam boiler every
// other one makes tea or long coffees with it, in bars nine in ten do; those that do
// draw so many litres for each shot, eight in ten of them a third to three times as
// much. Assumptions: a cup of tea to every fourth shot at home, to every tenth in a bar.
var usualHotWater = map[record.Setting]HotWater{
	record.Home: {Drawing: 0.5, LitresPerShot: 0.045, LogSD: 0.85, Weight: 1},
	record.Bar:  {Drawing: 0.9, LitresPerShot: 0.02, LogSD: 0.85, Weight: 1},
}

// assumedLogSD is how far a place lies from what is usual of its sort, as a log
// standard deviation. Assumption.
const assumedLogSD = 0.7

// milkLogitSD is how far the share of drinks with milk lies from what is usual where
// nobody says, as a standard deviation of its logit: of a half, eight in ten such
// places lie between a quarter and three quarters. Assumption.
const milkLogitSD = 0.86

// habitOf returns a machine's habit as drinks, with what is usual in place of what
// nothing says: how much is drunk, how much of it gets milk, and what hot water goes
// with it.
func habitOf(m *record.Machine) drinks {
	h, usual := m.Habit, usualHabits[m.Setting]
	assumed := h.WeekdayShots == 0 && h.WeekendShots == 0 && h.SteamedShots == 0
	if assumed {
		h.WeekdayShots, h.WeekendShots = usual.WeekdayShots, usual.WeekendShots
	}
	milkAssumed := !h.SaysMilk() && m.MaySteam()
	if milkAssumed {
		h.SteamedShare = usual.SteamedShare
	}
	d := drinksOf(m.Setting, h)
	d.assumed, d.milkAssumed = assumed, milkAssumed
	if h.HotWaterLitres == nil && m.MayDrawHotWater() {
		d.hotWater = usualHotWater[m.Setting]
		d.hotWaterPerShot = d.hotWater.mean()
	}
	return d
}

// logSD is how uncertain the habit is, stated or assumed, as a log standard deviation.
func (d drinks) logSD() float64 {
	if d.assumed {
		return assumedLogSD
	}
	return habitLogSD
}

// habitSpread is that of the least certain of some machines.
func habitSpread(pasts []*past) float64 {
	widest := habitLogSD
	for _, p := range pasts {
		for _, h := range p.habits {
			widest = max(widest, h.logSD())
		}
	}
	return widest
}
