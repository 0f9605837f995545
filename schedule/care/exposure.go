package care

// Exposure is what a run of days brings to one part. Runs add up, since each
// field is an amount.
type Exposure struct {
	Days        float64
	Shots       float64
	Kilograms   float64
	HotHours    float64
	Litres      float64 // through the vessel, or drawn from the line
	DrawnLitres float64 // the part of them that left a steam boiler as water
	HardnessMeq float64 // that came with the litres, in the raw water
	CarbonMeq   float64 // the part of it that goes with alkalinity
	ScaleGrams  float64 // calcite that the litres could lay down at the vessel's wall
}

// Minus returns what one run brings beyond a shorter one.
func (e Exposure) Minus(f Exposure) Exposure {
	return Exposure{
		Days: e.Days - f.Days, Shots: e.Shots - f.Shots, Kilograms: e.Kilograms - f.Kilograms,
		HotHours: e.HotHours - f.HotHours, Litres: e.Litres - f.Litres, DrawnLitres: e.DrawnLitres - f.DrawnLitres,
		HardnessMeq: e.HardnessMeq - f.HardnessMeq, CarbonMeq: e.CarbonMeq - f.CarbonMeq,
		ScaleGrams: e.ScaleGrams - f.ScaleGrams,
	}
}

// Plus returns what two runs bring together.
func (e Exposure) Plus(f Exposure) Exposure {
	return Exposure{
		Days: e.Days + f.Days, Shots: e.Shots + f.Shots, Kilograms: e.Kilograms + f.Kilograms,
		HotHours: e.HotHours + f.HotHours, Litres: e.Litres + f.Litres, DrawnLitres: e.DrawnLitres + f.DrawnLitres,
		HardnessMeq: e.HardnessMeq + f.HardnessMeq, CarbonMeq: e.CarbonMeq + f.CarbonMeq,
		ScaleGrams: e.ScaleGrams + f.ScaleGrams,
	}
}

// Times returns so many times the days, each with so many times as much of all
// that moves parts; the days themselves are no more.
func (e Exposure) Times(days, amounts float64) Exposure {
	a := days * amounts
	return Exposure{
		Days: e.Days * days, Shots: e.Shots * a, Kilograms: e.Kilograms * a, HotHours: e.HotHours * a,
		Litres: e.Litres * a, DrawnLitres: e.DrawnLitres * a, HardnessMeq: e.HardnessMeq * a, CarbonMeq: e.CarbonMeq * a,
		ScaleGrams: e.ScaleGrams * a,
	}
}

// Amount names one of the amounts of an Exposure.
type Amount int

// The amounts of an Exposure, and how many they are.
const (
	OfDays Amount = iota
	OfShots
	OfKilograms
	OfHotHours
	OfLitres
	OfDrawnLitres
	OfHardness
	OfCarbon
	OfScale
	Amounts
)

// Only returns an exposure to one amount.
func Only(amount Amount, x float64) Exposure {
	switch amount {
	case OfDays:
		return Exposure{Days: x}
	case OfShots:
		return Exposure{Shots: x}
	case OfKilograms:
		return Exposure{Kilograms: x}
	case OfHotHours:
		return Exposure{HotHours: x}
	case OfLitres:
		return Exposure{Litres: x}
	case OfDrawnLitres:
		return Exposure{DrawnLitres: x}
	case OfHardness:
		return Exposure{HardnessMeq: x}
	case OfCarbon:
		return Exposure{CarbonMeq: x}
	case OfScale:
		return Exposure{ScaleGrams: x}
	}
	return Exposure{}
}
