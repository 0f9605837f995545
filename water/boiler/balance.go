package boiler

import (
	"fmt"
	"math"

	"limekeep/water"
	"limekeep/water/deposit"
	"limekeep/water/equilibrium"
	"limekeep/water/steam"
)

// State is the water in a steam boiler. The zero value is an empty one.
type State struct {
	WaterKg   float64
	Dissolved water.Totals // mol/kg
}

// Day is what flows through a steam boiler in a day, or in any other
// span, in kg. Feed, hot water and steam flow evenly and together, as far as
// the feed makes up for the other two. Then the drain is opened at once, and
// what is left of the feed refills the boiler.
type Day struct {
	FeedKg     float64
	HotWaterKg float64 // drawn as liquid
	SteamKg    float64
	DrainKg    float64
}

// LevelDay is the day on which the feed makes up for all that leaves.
func LevelDay(hotWaterKg, steamKg, drainKg float64) Day {
	return Day{FeedKg: hotWaterKg + steamKg + drainKg, HotWaterKg: hotWaterKg, SteamKg: steamKg, DrainKg: drainKg}
}

// Deposit is what left the water of a steam boiler in a day. Solids do
// not dissolve again.
type Deposit struct {
	deposit.Solids
	Drawn       water.Totals         // with hot water and drain; moles, not mol/kg
	SteamCO2Mol float64              // with the steam
	Solution    equilibrium.Solution // the boiler water when it last was at rest
}

// turnoverMost is the share of a boiler's water that may flow through in one
// step of the integration. With it the deposit of ten days is within half a per
// cent of the calcium fed of what much finer steps give. It is a choice of
// numerical method, not of water.
const turnoverMost = 1.0

// leastWaterShare is how far, as a share of what it began a day with, a boiler
// may be boiled down between refills: below, its element lies dry (assumption).
const leastWaterShare = 0.1

// Step takes a steam boiler, boiling at celsius, 100 to 140, through a
// day fed with water of these totals. Salts stay, CO2 leaves with the steam in
// the share its pressure has of the steam's; calcite and anhydrite form where
// supersaturated, brucite too if so set. siOffset is as in ClosedPrecipitation.
// Liquid and steam are taken to be at rest with each other, as in Steady,
// whose state this arrives at when all days are equal.
//
// Forecasts look up a Column instead; this is what its kind and simulated
// households are held to.
//
// An empty state with nothing but a feed is the first filling. The error is a
// *ValueError where a flow is negative, more leaves than there is, or the
// water becomes more concentrated than the model covers.
//
// Within a step the solids and the CO2 leave at a constant rate that makes the
// water at its end be at rest (implicit Euler), while flow and dilution follow
// their exponentials exactly. So salts that do not precipitate are exact at any
// step, and so is the steady state.
func Step(s *equilibrium.Solver, state State, feed water.Totals, day Day, celsius, siOffset float64, brucite bool) (State, Deposit, error) {
	var d Deposit
	if err := water.CheckRange("temperature of a steam boiler, °C", celsius, 100, water.MaxCelsius); err != nil {
		return state, d, err
	}
	if err := equilibrium.CheckPotential(&feed, celsius, siOffset); err != nil {
		return state, d, err
	}
	if err := day.check(state.WaterKg); err != nil {
		return state, d, err
	}
	made := min(day.FeedKg, day.HotWaterKg+day.SteamKg)
	v := passage{solver: s, celsius: celsius, siOffset: siOffset, brucite: brucite, State: state}
	if state.WaterKg > 0 {
		steps := day.steps(state.WaterKg)
		part := 1 / float64(steps)
		for range steps {
			if err := v.flow(&feed, made*part, day.HotWaterKg*part, day.SteamKg*part); err != nil {
				return state, d, err
			}
		}
	}
	v.drain(day.DrainKg)
	if refill := day.FeedKg - made; refill > 0 {
		v.refill(&feed, refill)
		if err := v.flow(&feed, 0, 0, 0); err != nil {
			return state, d, err
		}
	}
	return v.State, v.lost, nil
}

// check looks at the flows of a day that begins with waterKg in the boiler.
func (day Day) check(waterKg float64) error {
	for _, c := range [...]struct {
		name  string
		value float64
	}{
		{"water in the boiler, kg", waterKg}, {"feed, kg", day.FeedKg}, {"hot water drawn, kg", day.HotWaterKg},
		{"steam drawn, kg", day.SteamKg}, {"drained, kg", day.DrainKg},
	} {
		if !(c.value >= 0 && c.value <= 1e6) {
			return water.CheckRange(c.name, c.value, 0, 1e6)
		}
	}
	drawn := day.HotWaterKg + day.SteamKg
	low := waterKg + min(day.FeedKg, drawn) - drawn
	if drawn > 0 && !(low >= leastWaterShare*waterKg && low > 0) {
		return &water.ValueError{Quantity: "hot water and steam drawn, kg", Value: drawn,
			Want: fmt.Sprintf("at most the feed and %.0f %% of the %.3g kg that the boiler holds", 100*(1-leastWaterShare), waterKg)}
	}
	if day.DrainKg > low*(1+1e-9) {
		return &water.ValueError{Quantity: "drained, kg", Value: day.DrainKg, Want: fmt.Sprintf("at most the %.3g kg that are there", low)}
	}
	return nil
}

// steps is how many steps the even part of a day is integrated in.
func (day Day) steps(waterKg float64) int {
	drawn := day.HotWaterKg + day.SteamKg
	low := waterKg + min(day.FeedKg, drawn) - drawn
	return max(1, int(math.Ceil(drawn/(turnoverMost*low))))
}

// passage is a steam boiler on the way through a day.
type passage struct {
	State
	solver            *equilibrium.Solver
	celsius, siOffset float64
	brucite           bool
	lost              Deposit
}

// flow lets feed, hot water and steam, kg each, pass evenly.
func (v *passage) flow(feed *water.Totals, feedKg, hotKg, steamKg float64) error {
	left := v.WaterKg + feedKg - hotKg - steamKg
	kept, share := dilution(v.WaterKg, left, hotKg)
	before, fed := v.Dissolved.Times(v.WaterKg), feed.Times(feedKg)
	there := before.Times(kept).Plus(fed.Times(share)).Times(1 / left)
	if err := equilibrium.CheckPotential(&there, v.celsius, v.siOffset); err != nil {
		return fmt.Errorf("the boiler is too concentrated, drain it sooner: %w", err)
	}
	atm := steam.SaturationMPa(v.celsius+water.KelvinAtZeroCelsius) / water.MegapascalPerAtm
	carried := equilibrium.MolesPerKgWater * steamKg / atm // mol of CO2 per atm of its pressure
	found, err := v.solver.SteamPrecipitation(there, v.celsius, 1, share*steamKg/left, v.siOffset, v.brucite)
	if err != nil {
		return err
	}
	// A mole that forms early takes with it what hot water would have drawn.
	formed := left / share / 1000
	calcite, anhydrite, hydroxide := found.CalciteMmolPerKg*formed, found.AnhydriteMmolPerKg*formed, found.BruciteMmolPerKg*formed
	escaped := carried * math.Exp(math.Ln10*found.Solution.Log10PCO2)
	if steamKg == 0 {
		escaped = 0
	}
	took := water.Totals{
		Calcium: calcite + anhydrite, Magnesium: hydroxide, Sulfate: anhydrite,
		Alkalinity: 2 * (calcite + hydroxide), Carbon: calcite + escaped,
	}
	// The search closes its balances as well as it converged, to about 1e-9;
	// what stays dissolved carries the difference.
	v.WaterKg, v.Dissolved = left, there.Plus(took.Times(-share/left))
	v.Dissolved.Calcium = max(0, v.Dissolved.Calcium)
	v.Dissolved.Magnesium = max(0, v.Dissolved.Magnesium)
	v.Dissolved.Sulfate = max(0, v.Dissolved.Sulfate)
	v.Dissolved.Carbon = max(0, v.Dissolved.Carbon)
	l := &v.lost
	l.CalciteMol += calcite
	l.AnhydriteMol += anhydrite
	l.BruciteMol += hydroxide
	l.SteamCO2Mol += escaped
	l.Drawn = l.Drawn.Plus(before.Times(1 - kept)).Plus(fed.Plus(took.Times(-1)).Times(1 - share))
	l.Solution = found.Solution
	return nil
}

// drain lets water out at once.
func (v *passage) drain(kg float64) {
	if kg == 0 {
		return
	}
	v.lost.Drawn = v.lost.Drawn.Plus(v.Dissolved.Times(min(kg, v.WaterKg)))
	v.WaterKg = max(0, v.WaterKg-kg)
	if v.WaterKg == 0 {
		v.Dissolved = water.Totals{}
	}
}

// refill lets water in at once.
func (v *passage) refill(feed *water.Totals, kg float64) {
	amounts := v.Dissolved.Times(v.WaterKg).Plus(feed.Times(kg))
	v.WaterKg += kg
	v.Dissolved = amounts.Times(1 / v.WaterKg)
}

// dilution says what happens to an amount while hotKg are drawn evenly from
// water whose mass goes evenly from one figure to another: the share kept of
// what was there before, and of what came in evenly.
func dilution(fromKg, toKg, hotKg float64) (kept, share float64) {
	turnover := hotKg / fromKg
	if rise := toKg/fromKg - 1; rise != 0 {
		turnover *= math.Log1p(rise) / rise // ∫dt/M of a level that moves evenly
	}
	if turnover == 0 {
		return 1, 1
	}
	return math.Exp(-turnover), -math.Expm1(-turnover) / turnover
}
