package use

import "limekeep/schedule/record"

// What a drink takes where its owner did not say. All are common practice.
const (
	DefaultDoseGrams  = 18.0 // dry coffee of a double
	DefaultYieldGrams = 36.0 // drink of a double, twice the dose

	// A wet puck holds about its own dry weight of water.
	puckGramsPerGram = 1.0

	// A short flush before or after each shot rinses the screen.
	flushGrams = 30.0

	// The first water of the day warms the group and the portafilter.
	warmUpGrams = 100.0

	// Steam for one milk drink: 150 g of milk from 5 to 60 °C take 32 kJ, which
	// is 13 g of steam condensing at 2.2 MJ/kg and cooling; purging the wand
	// before and after takes about as much again.
	steamGrams = 25.0

	// Hours a day at temperature where the owner did not say.
	homeHotHours = 2.0
	barHotHours  = 14.0
)

// Day is what a machine and the grinder beside it did on a day, or are
// expected to do.
type Day struct {
	Shots          float64
	Kilograms      float64 // dry coffee ground for them
	BrewLitres     float64 // through the vessels that brew
	SteamLitres    float64 // water that left the steam boiler as steam
	HotWaterLitres float64 // drawn from it as liquid
	HotHours       float64
	Logged         bool // written down by somebody, not expected from the habit
}

// Litres is all the water the machine took from its line.
func (d Day) Litres() float64 { return d.BrewLitres + d.SteamLitres + d.HotWaterLitres }

// drinks is how one machine's drinks turn into a day.
type drinks struct {
	doseGrams, yieldGrams float64
	steamedShare          float64
	hotWaterLitres        float64
	hotHours              float64
}

func drinksOf(m *record.Machine) drinks {
	d := drinks{
		doseGrams:      m.Habit.DoseGrams,
		yieldGrams:     m.Habit.YieldGrams,
		steamedShare:   m.Habit.SteamedShare,
		hotWaterLitres: m.Habit.HotWaterLitres,
		hotHours:       m.Habit.HotHours,
	}
	if d.doseGrams == 0 {
		d.doseGrams = DefaultDoseGrams
	}
	if d.yieldGrams == 0 {
		d.yieldGrams = 2 * d.doseGrams
	}
	if d.hotHours == 0 {
		d.hotHours = homeHotHours
		if m.Setting == record.Bar {
			d.hotHours = barHotHours
		}
	}
	return d
}

// expected gives the day of so many shots made by habit.
func (d drinks) expected(shots float64) Day {
	return d.day(shots, shots*d.doseGrams, shots*d.yieldGrams, shots*d.steamedShare, d.hotWaterLitres)
}

// logged gives the day that was written down. Shots without a dose or a yield
// are taken to have the habit's.
func (d drinks) logged(u record.UseDay) Day {
	dose := u.DoseGrams + (u.Shots-u.DosedShots)*d.doseGrams
	yield := u.YieldGrams + (u.Shots-u.YieldShots)*d.yieldGrams
	day := d.day(u.Shots, dose, yield, u.Steamed, u.HotWaterLitres)
	day.Logged = true
	return day
}

// day works out the water. A day without a drink is a day switched off.
func (d drinks) day(shots, doseGrams, yieldGrams, steamed, hotWaterLitres float64) Day {
	if shots == 0 && hotWaterLitres == 0 && steamed == 0 {
		return Day{}
	}
	brewGrams := yieldGrams + puckGramsPerGram*doseGrams + flushGrams*shots + warmUpGrams
	return Day{
		Shots:          shots,
		Kilograms:      doseGrams / 1000,
		BrewLitres:     brewGrams / 1000,
		SteamLitres:    steamGrams * steamed / 1000,
		HotWaterLitres: hotWaterLitres,
		HotHours:       d.hotHours,
	}
}
