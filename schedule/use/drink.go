package use

import (
	"time"

	"limekeep/schedule/record"
)

// What a drink takes where its owner did not say. All are common practice.
const (
	DefaultDoseGrams  = 18.0 // dry coffee of a double
	DefaultYieldGrams = 36.0 // drink of a double, twice the dose

	// A wet puck holds about its own dry weight of water.
	puckGramsPerGram = 1.0

	// A short flush before and after each shot rinses the screen.
	flushBeforeGrams = 15.0
	flushAfterGrams  = 15.0

	// The first water of the day warms the group and the portafilter.
	warmUpGrams = 100.0

	// Steam for one milk drink: 150 g of milk from 5 to 60 °C take 32 kJ, which
	// is 13 g of steam condensing at 2.2 MJ/kg and cooling; purging the wand
	// before and after takes about as much again. As much water refills the
	// boiler.
	steamGrams = 25.0
)

// drinks is how one machine's drinks turn into a day, by one habit.
type drinks struct {
	habit                 record.Habit
	doseGrams, yieldGrams float64
	flushGrams            float64 // before and after a shot
	warmUpGrams           float64
	puckGramsPerGram      float64
	steamGrams            float64
	steamedShare          float64
	steamedShots          float64 // a day, in place of the share
	hotWaterLitres        float64 // a day
	hotWaterPerShot       float64 // and for each shot, where nobody said it
	hot                   hotHours
	assumed               bool    // nobody stated the habit
	milkAssumed           bool    // nobody stated how many of its shots get milk
	milkWeight            float64 // share of what is known of milk that a log has not replaced, 0 to 1
	hotWater              HotWater
}

func drinksOf(setting record.Setting, h record.Habit) drinks {
	d := drinks{
		habit:            h,
		doseGrams:        h.DoseGrams,
		yieldGrams:       h.YieldGrams,
		steamedShots:     h.SteamedShots,
		hotWaterLitres:   h.HotWater(),
		flushGrams:       orUsual(h.FlushBeforeGrams, flushBeforeGrams) + orUsual(h.FlushAfterGrams, flushAfterGrams),
		warmUpGrams:      orUsual(h.WarmUpGrams, warmUpGrams),
		puckGramsPerGram: orUsual(h.PuckGramsPerGram, puckGramsPerGram),
		steamGrams:       orUsual(h.SteamGrams, steamGrams),
		hot:              hotHoursOf(setting, h),
	}
	if h.SteamedShare != nil {
		d.steamedShare = *h.SteamedShare
	}
	if d.doseGrams == 0 {
		d.doseGrams = DefaultDoseGrams
	}
	if d.yieldGrams == 0 {
		d.yieldGrams = DefaultYieldGrams / DefaultDoseGrams * d.doseGrams
	}
	return d
}

func orUsual(said *float64, usual float64) float64 {
	if said == nil {
		return usual
	}
	return *said
}

// shots returns the habit's shots of a date.
func (d drinks) shots(on record.Date) float64 { return d.byWeekday()[on.Weekday()] }

// byWeekday returns the habit's shots by day of the week, Sunday first.
func (d drinks) byWeekday() (shots [7]float64) {
	for i := range shots {
		shots[i] = d.habit.WeekdayShots
	}
	shots[time.Saturday], shots[time.Sunday] = d.habit.WeekendShots, d.habit.WeekendShots
	return shots
}

// steamed returns how many of some shots get milk by habit.
func (d drinks) steamed(shots float64) float64 {
	if d.steamedShots > 0 {
		return min(d.steamedShots, shots)
	}
	return shots * d.steamedShare
}

// expected returns the day of so many shots made by habit. Less than one shot a
// day is one now and then, and a day without is a day switched off.
func (d drinks) expected(on record.Date, shots float64) Day {
	day := d.day(shots, shots*d.doseGrams, shots*d.yieldGrams, d.steamed(shots), d.hotWaterLitres+d.hotWaterPerShot*shots)
	share := 1.0
	if d.hotWaterLitres == 0 {
		share = min(1, shots)
		if shots > 0 && share < 1 {
			day.BrewLitres -= (1 - share) * d.warmUpGrams / 1000
		}
	}
	day.HotHours = d.hot.expected(on, share)
	return day
}

// logged returns the day that was written down. Shots without a dose or a yield
// are taken to have the habit's.
func (d drinks) logged(u record.UseDay) Day {
	dose := u.DoseGrams + (u.Shots-u.DosedShots)*d.doseGrams
	yield := u.YieldGrams + (u.Shots-u.YieldShots)*d.yieldGrams
	day := d.day(u.Shots, dose, yield, u.Steamed, u.HotWaterLitres)
	drawn := day.Litres() > 0
	day.HotHours = d.hot.logged(u, drawn)
	day.Logged = true
	return day
}

// day works out the water.
func (d drinks) day(shots, doseGrams, yieldGrams, steamed, hotWaterLitres float64) Day {
	if shots == 0 && hotWaterLitres == 0 && steamed == 0 {
		return Day{}
	}
	brewGrams := yieldGrams + d.puckGramsPerGram*doseGrams + d.flushGrams*shots + d.warmUpGrams
	return Day{
		Shots:          shots,
		Kilograms:      doseGrams / 1000,
		BrewLitres:     brewGrams / 1000,
		SteamLitres:    d.steamGrams * steamed / 1000,
		HotWaterLitres: hotWaterLitres,
	}
}
