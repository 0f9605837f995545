package use

// What the log teaches about a drink: doses, yields, milk and hot water.

const (
	drinkKeeps = 0.97 // what is left of a day's drinks a day later: about a month
	// drinkPriorDays is the weight of the habit, in days (assumption).
	drinkPriorDays = 14.0
)

// ratio is a sum by another, both fading.
type ratio struct{ sum, by float64 }

func (r *ratio) fade()               { r.sum *= drinkKeeps; r.by *= drinkKeeps }
func (r *ratio) see(sum, by float64) { r.sum += sum; r.by += by }

// toward returns the ratio, drawn towards a value that weighs as much as prior.
func (r ratio) toward(value, prior float64) float64 {
	if r.by+prior == 0 {
		return value
	}
	return (r.sum + prior*value) / (r.by + prior)
}

// learnDrinks returns a habit's drinks as the log of the last weeks has them.
func learnDrinks(p *past, habit drinks) drinks {
	var dose, yield, milk, water, hours, told, cups ratio
	shots := ratio{}
	next := 0
	for i := range p.days {
		for _, r := range []*ratio{&dose, &yield, &milk, &water, &hours, &told, &cups, &shots} {
			r.fade()
		}
		on := p.days[i]
		for ; next < len(p.drawn) && int(p.drawn[next].Date-p.first) <= i; next++ {
			if u := p.drawn[next]; int(u.Date-p.first) == i {
				dose.see(u.DoseGrams, u.DosedShots)
				yield.see(u.YieldGrams, u.YieldShots)
				if u.HalfHours != 0 && on.HotHours > 0 {
					hours.see(on.HotHours, 1)
				}
			}
		}
		if on.Logged && on.Shots > 0 && p.guests[i] == 0 {
			shots.see(on.Shots, 1)
			milk.see(p.steamed[i], on.Shots)
			told.see(0, p.milkTold[i])
			water.see(p.hotWater[i], 1)
			cups.see(p.hotWater[i]-p.hotWaterGuessed[i], p.hotWaterTold[i])
		}
	}
	daily := shots.toward(1, drinkPriorDays/1000) // so many shots has a day with a drink
	learnt := habit
	learnt.doseGrams = dose.toward(habit.doseGrams, drinkPriorDays*daily)
	learnt.yieldGrams = yield.toward(habit.yieldGrams, drinkPriorDays*daily)
	learnt.milkWeight = drinkPriorDays * daily / (told.by + drinkPriorDays*daily)
	if milk.by > 0 {
		learnt.steamedShots = 0
		learnt.steamedShare = milk.toward(habit.steamed(daily)/daily, drinkPriorDays*daily)
		learnt.hotWaterLitres = water.toward(habit.hotWaterLitres, drinkPriorDays)
	}
	if w := &learnt.hotWater; w.Assumed() {
		w.Told = cups.toward(0, 0)
		w.Weight = drinkPriorDays * daily / (cups.by + drinkPriorDays*daily)
		learnt.hotWaterLitres, learnt.hotWaterPerShot = 0, (1-w.Weight)*w.Told+w.Weight*w.mean()
	}
	learnt.hot.usual = hours.toward(habit.hot.usual, drinkPriorDays)
	return learnt
}
