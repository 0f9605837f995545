package wear

// Day is what one day, or a run of days, brings to one part. Runs of days add
// up, since each field is an amount.
type Day struct {
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

func (d Day) minus(e Day) Day {
	return Day{
		Days: d.Days - e.Days, Shots: d.Shots - e.Shots, Kilograms: d.Kilograms - e.Kilograms,
		HotHours: d.HotHours - e.HotHours, Litres: d.Litres - e.Litres, DrawnLitres: d.DrawnLitres - e.DrawnLitres,
		HardnessMeq: d.HardnessMeq - e.HardnessMeq, CarbonMeq: d.CarbonMeq - e.CarbonMeq,
		ScaleGrams: d.ScaleGrams - e.ScaleGrams,
	}
}

// sums is the running total of a part's days: sums[k] is all up to knot k.
type sums []Day

// add lays one step on top of the total. Written out, for it runs for every step
// of every world.
func (s sums) add(step int, d Day) {
	was, is := &s[step], &s[step+1]
	is.Days = was.Days + d.Days
	is.Shots = was.Shots + d.Shots
	is.Kilograms = was.Kilograms + d.Kilograms
	is.HotHours = was.HotHours + d.HotHours
	is.Litres = was.Litres + d.Litres
	is.DrawnLitres = was.DrawnLitres + d.DrawnLitres
	is.HardnessMeq = was.HardnessMeq + d.HardnessMeq
	is.CarbonMeq = was.CarbonMeq + d.CarbonMeq
	is.ScaleGrams = was.ScaleGrams + d.ScaleGrams
}

// step gives back what one step brought.
func (s sums) step(i int) Day { return s[i+1].minus(s[i]) }

// from gives all from one knot to a later one.
func (s sums) from(knot, to int) Day { return s[to].minus(s[knot]) }
