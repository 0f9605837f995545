package wear

import (
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/water"
	"limekeep/water/boiler"
	"limekeep/water/equilibrium"
)

// steamWater is what the waters of a line do in one steam boiler: salts stay,
// CO2 leaves with the steam, scale forms from what concentrates.
type steamWater struct {
	line       *LineWater
	celsius    float64
	waterKg    []float64     // when filled, by world
	steamShare float64       // of the feed, over the whole course
	fresh      [][]columnsOf // by test, then arrangement
	spent      [][]columnsOf // the same behind spent exchangers
	start      []float64     // how concentrated the boiler is when the span begins, by world
	left       []float64     // by knot: share of the old water that a service left; 1 where there was none
	refreshed  []int         // knots behind the first at which there was one
	alike      bool          // whether it is as large and as concentrated at first in every world
}

// columnsOf holds one column for each analysis of a test.
type columnsOf []boiler.Forming

// filledShare is how much of a steam boiler is water; steam fills the rest.
// Common practice.
const filledShare = 0.65

// wetShare is the share of steam that is droplets and takes salts along as drawn
// water does. Common practice for small boilers, 1 to 5 %.
const wetShare = 0.02

// newSteamWater works out a boiler's columns.
func newSteamWater(r *run, v *vesselRun) (*steamWater, error) {
	lw, draws, c := v.machine.line.water, r.house.Draws, v.machine.timeline
	b := &steamWater{line: lw, celsius: max(100, v.shape.celsius)}
	for range r.grid.knots {
		b.left = append(b.left, 1)
	}
	for _, factor := range guesses(draws, "part/"+v.name(), "volume", v.shape.guessedSize) {
		b.waterKg = append(b.waterKg, filledShare*v.shape.litres*factor)
	}
	var steam, hot float64
	for _, day := range c.Days {
		steam += day.SteamLitres
		hot += day.HotWaterLitres
	}
	if steam+hot > 0 {
		b.steamShare = steam / (steam + hot)
	}
	for _, t := range lw.Tests {
		var fresh, spent []columnsOf
		for i, feeds := range t.Feeds {
			columns, err := b.columns(r.house.earlier(), t, i, "fresh", feeds.Fresh)
			if err != nil {
				return nil, err
			}
			fresh = append(fresh, columns)
			if feeds.Fresh[0].potentials != feeds.Spent[0].potentials {
				if columns, err = b.columns(r.house.earlier(), t, i, "spent", feeds.Spent); err != nil {
					return nil, err
				}
			}
			spent = append(spent, columns)
		}
		b.fresh, b.spent = append(b.fresh, fresh), append(b.spent, spent)
	}
	b.start = make([]float64, draws.Worlds)
	for w := range b.start {
		b.start[w] = b.concentrate(w, 1, daysBefore(c, r.span.first, steam), daysBefore(c, r.span.first, hot))
	}
	b.alike = slices.Min(b.waterKg) == slices.Max(b.waterKg) && slices.Min(b.start) == slices.Max(b.start)
	return b, nil
}

// daysBefore gives the litres that flowed from the machine's first day to the
// span's, at the mean pace of the whole course.
func daysBefore(c *use.Timeline, first record.Date, total float64) float64 {
	if len(c.Days) == 0 {
		return 0
	}
	return total / float64(len(c.Days)) * float64(max(0, first-c.First))
}

// columns works out one set of waters for the boiler's share of steam, from the
// two shares it lies between: a few more drinks do not ask for new columns, and
// move what these say a little.
func (b *steamWater) columns(from earlier, t TestedWater, arrangement int, state string, feeds []feedWater) (columnsOf, error) {
	low, high, place := boiler.SteamShareKnots(b.steamShare)
	columns, err := b.columnsAt(from, t, arrangement, state, feeds, low)
	if err != nil || low == high {
		return columns, err
	}
	others, err := b.columnsAt(from, t, arrangement, state, feeds, high)
	if err != nil {
		return nil, err
	}
	between := make(columnsOf, len(columns))
	for i := range columns {
		between[i] = columns[i].Towards(others[i], place)
	}
	return between, nil
}

// columnsAt works out one set of waters for a share of steam, on as many
// processors as there are, or remembers it.
func (b *steamWater) columnsAt(from earlier, t TestedWater, arrangement int, state string, feeds []feedWater, steamShare float64) (columnsOf, error) {
	return from.boiler(t.district, []any{t.key, arrangement, state, b.celsius, steamShare}, feeds, func() ([]boiler.Forming, error) {
		columns := make([]boiler.Forming, len(feeds))
		err := onAllCores(len(feeds), func(solver *equilibrium.Solver, i int) error {
			column, err := boiler.NewColumn(solver, feeds[i].totals, b.celsius, steamShare, t.Supply[i].brucite)
			columns[i] = column.Forming
			return err
		})
		return columns, err
	})
}

// refilled gives the litres that a service which refreshed the boiler at a knot
// filled it up with; 0 where there was none.
func (b *steamWater) refilled(world, knot int) float64 {
	return (1 - b.left[knot]) * b.waterKg[world]
}

// refresh notes a service that left a share of the old water.
func (b *steamWater) refresh(knot int, left float64) {
	b.left[knot] = left
	b.refreshed = b.refreshed[:0]
	for k, l := range b.left {
		if k > 0 && l != 1 {
			b.refreshed = append(b.refreshed, k)
		}
	}
}

// newBefore is the last knot, up to one, at which all of the water was made new; the first
// where it never was.
func (b *steamWater) newBefore(knot int) int {
	for _, k := range slices.Backward(b.refreshed) {
		if k <= knot && b.left[k] == 0 {
			return k
		}
	}
	return 0
}

// offset is by how much a world's calcite saturation is off in the boiler, as its
// columns have it.
func (b *steamWater) offset(world int) boiler.Offset {
	return boiler.NewOffset(b.line.shift[world] * SISpread(b.celsius))
}

// concentrate gives how concentrated a boiler is, in multiples of its feed,
// after so many litres left it as steam and as hot water: the balance of a salt
// that stays, V dn/dt = feed - drawn·n, solved over the run.
func (b *steamWater) concentrate(world int, n, steam, hot float64) float64 {
	drawn := hot + wetShare*steam
	if drawn <= 0 {
		return n
	}
	rest := (steam + hot) / drawn
	return rest + (n-rest)*math.Exp(-drawn/b.waterKg[world])
}

// scale gives the mg of scale that form per litre fed at a concentration, in a
// world, with its offset, on a step to which the water has drifted by a factor, behind
// exchangers that leak.
func (b *steamWater) scale(world int, offset boiler.Offset, s *waterState, drifted, n, leak float64) float64 {
	columns := b.columnsIn(world, s)
	return columns.scale(offset, s.share, drifted, n, leak)
}

// worldColumns are the columns of a world's water between two tests: behind fresh
// exchangers and behind spent ones, of the test before and of the one after.
type worldColumns struct {
	before, after, arrangement int // the tests, and how the line was laid out
	fresh, spent               [2]*boiler.Forming
}

// columnsIn returns the columns of a day's water in a world.
func (b *steamWater) columnsIn(world int, s *waterState) worldColumns {
	a, c := b.line.picks[s.before][world], b.line.picks[s.after][world]
	return worldColumns{
		before: s.before, after: s.after, arrangement: s.arrangement,
		fresh: [2]*boiler.Forming{&b.fresh[s.before][s.arrangement][a], &b.fresh[s.after][s.arrangement][c]},
		spent: [2]*boiler.Forming{&b.spent[s.before][s.arrangement][a], &b.spent[s.after][s.arrangement][c]},
	}
}

// are reports whether they are those of a day.
func (c *worldColumns) are(s *waterState) bool {
	return c.fresh[0] != nil && c.before == s.before && c.after == s.after && c.arrangement == s.arrangement
}

// scale is steamWater's, on a day that lies a share of the way from the one test to the
// other.
func (c *worldColumns) scale(offset boiler.Offset, share, drifted, n, leak float64) float64 {
	at := boiler.NewConcentration(n * drifted)
	of := func(columns *[2]*boiler.Forming) float64 {
		mg := columns[0].ScaleMgPerKgAt(at, offset)
		if share > 0 {
			mg += share * (columns[1].ScaleMgPerKgAt(at, offset) - mg)
		}
		return mg
	}
	fresh := of(&c.fresh)
	if leak == 0 || c.spent[0] == c.fresh[0] {
		return drifted * fresh
	}
	return drifted * (fresh + leak*(of(&c.spent)-fresh))
}

// water gives the boiler's own water at a concentration, mol/kg, of a feed whose
// cartridges are fresh: it is by salts that no cartridge holds back that a boiler
// is judged.
func (b *steamWater) water(world int, s *waterState, n float64) water.Totals {
	return b.fresh[s.after][s.arrangement][b.line.picks[s.after][world]].Salts(n*s.drifted, b.offset(world))
}

// analysis is the same as an analysis, mg/kg.
func (b *steamWater) analysis(world int, s *waterState, n float64) water.Analysis {
	return b.water(world, s, n).Analysis(0, 0)
}
