package use

// Day is what a machine and the grinder beside it did on a day, or are
// expected to do.
type Day struct {
	Shots          float64
	Kilograms      float64 // dry coffee ground for them
	BrewLitres     float64 // through the vessels that brew
	SteamLitres    float64 // water that left the steam boiler as steam; as much refilled it
	HotWaterLitres float64 // drawn from it as liquid
	HotHours       float64

	// What of a day that was written down nobody said, by which it may be off.
	GuessedSteamLitres, GuessedHotWaterLitres float64

	Basis   Basis
	Logged  bool // written down by somebody, not expected from the habit
	Metered bool // a meter or a bag of coffee says what it and its neighbours came to
}

// Litres is all the water the machine took from its line.
func (d Day) Litres() float64 { return d.BrewLitres + d.SteamLitres + d.HotWaterLitres }

// Known reports whether what the day came to was written down or measured, if
// only together with its neighbours, so that the spread of the habit is not on
// it.
func (d Day) Known() bool { return d.Logged || d.Metered || d.Basis == ByAway }

// Plus returns both together. What they rest on is that of d.
func (d Day) Plus(e Day) Day {
	d.Shots += e.Shots
	d.Kilograms += e.Kilograms
	d.BrewLitres += e.BrewLitres
	d.SteamLitres += e.SteamLitres
	d.HotWaterLitres += e.HotWaterLitres
	d.HotHours += e.HotHours
	d.GuessedSteamLitres += e.GuessedSteamLitres
	d.GuessedHotWaterLitres += e.GuessedHotWaterLitres
	return d
}

// drunk multiplies all that goes with the drinks. More drinks do not make more
// hours.
func (d Day) drunk(factor float64) Day {
	d.Shots *= factor
	d.Kilograms *= factor
	return d.watered(factor)
}

// watered multiplies the water alone.
func (d Day) watered(factor float64) Day {
	d.BrewLitres *= factor
	d.SteamLitres *= factor
	d.HotWaterLitres *= factor
	d.GuessedSteamLitres *= factor
	d.GuessedHotWaterLitres *= factor
	return d
}
