package wear

import (
	"context"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"limekeep/schedule/record"
	"limekeep/schedule/use"
)

// A tenth of a shot, or a twentieth of a litre of hot water, moves descaling by
// little, also where hardly any of the feed leaves as steam. Where the share of
// steam was rounded, 1.55 litres put a boiler that falls due after 54 days off to
// 85.
func TestLittleMoreMovesDescalingLittle(t *testing.T) {
	days := func(shots, hotLitres float64) record.Date {
		k := newKitchen(t)
		habit := &k.machine().Habit
		habit.WeekdayShots, habit.WeekendShots, habit.SteamedShare, habit.HotWaterLitres = shots, shots, new(0.4), &hotLitres
		k.served(0, record.Service{Task: "machine/descale/steam"})
		return k.forecast(t)["machine/descale/steam"].Window.Likely - today
	}
	for _, pair := range [][2]record.Date{
		{days(3.9, 1.6), days(3.8, 1.6)}, {days(3.9, 1.5), days(3.9, 1.55)}, {days(3.9, 1.55), days(3.9, 1.6)},
	} {
		if a, b := pair[0], pair[1]; a < 20 || math.Abs(float64(b-a)) > 0.06*float64(a)+1 {
			t.Errorf("descaling goes from %d to %d days", a, b)
		}
	}
}

// A tenth of a degree more in a water test moves every date of descaling evenly: each lies
// within a hundredth of its distance, and a day, of the middle between its neighbours',
// counted from the last service.
func TestTenthsOfADegreeMoveDatesEvenly(t *testing.T) {
	for _, c := range []struct {
		name                 string
		hardness, alkalinity float64 // of a step, °dH
	}{{"hardness", 0.1, 0}, {"alkalinity", 0, 0.1}} {
		dates := map[string][][3]record.Date{}
		for step := range 6 {
			k := newKitchen(t)
			k.worlds = usualWorlds
			k.entries[0].Body = hardWater(12+c.hardness*float64(step), 9+c.alkalinity*float64(step))
			for _, vessel := range []string{"brew", "steam"} {
				k.served(10, record.Service{Task: "machine/descale/" + vessel})
			}
			for id, o := range k.forecast(t) {
				if o.Scale != nil {
					w := o.Window
					dates[id] = append(dates[id], [3]record.Date{w.Early - o.Since, w.Likely - o.Since, w.Late - o.Since})
				}
			}
		}
		if len(dates) != 2 {
			t.Fatalf("%d vessels", len(dates))
		}
		for id, d := range dates {
			for i := 1; i+1 < len(d); i++ {
				for point := range d[i] {
					if d[i-1][point] < 0 || d[i][point] < 0 || d[i+1][point] < 0 {
						continue // beyond the horizon
					}
					middle := float64(d[i-1][point]+d[i+1][point]) / 2
					if off := math.Abs(float64(d[i][point]) - middle); off > 0.01*middle+1 {
						t.Errorf("%s, step %d of %s: %v, then %v, then %v days", id, i, c.name, d[i-1], d[i], d[i+1])
					}
				}
			}
		}
	}
}

// place is an invented household's numbers, each by its name: all that one could
// type a little differently.
type place map[string]float64

// amountsOf are the numbers of a place but for its water, with the range that
// each is drawn from.
var amountsOf = map[string][2]float64{
	"weekday shots": {0.5, 12}, "weekend shots": {0.5, 12}, "steamed share": {0, 1}, "hot water": {0, 2},
	"dose": {14, 21}, "yield": {25, 60}, "hot hours": {1, 12},
	"brew litres": {0.2, 1.2}, "brew watts": {600, 1600}, "brew celsius": {88, 98}, "orifice": {0.4, 1},
	"steam litres": {0.8, 3}, "steam watts": {1000, 2500}, "steam bar": {0.8, 1.6}, "seal celsius": {85, 105},
	"rated litres": {200, 3000}, "rated degrees": {5, 15}, "bypass": {0, 0.6}, "months": {4, 14},
	"left": {0, 0.8}, "grams": {0.2, 5}, "logged shots": {0.5, 10},
}

// amounts are their names.
var amounts = slices.Sorted(maps.Keys(amountsOf))

// places draws households of all sorts. Waters come from a few, since each takes
// long to work out.
var places = rapid.Custom(func(t *rapid.T) place {
	p := place{}
	for _, name := range amounts {
		p[name] = rapid.Float64Range(amountsOf[name][0], amountsOf[name][1]).Draw(t, name)
	}
	p["water"] = float64(rapid.IntRange(0, len(smoothWaters)-1).Draw(t, "water"))
	p["cartridge"] = float64(rapid.IntRange(0, 3).Draw(t, "cartridge"))
	p["served"] = float64(rapid.IntRange(0, 400).Draw(t, "served"))
	p["logged"] = float64(rapid.IntRange(0, 300).Draw(t, "logged"))
	p["found"] = float64(rapid.IntRange(0, 4).Draw(t, "found"))
	p["hardness"], p["alkalinity"], p["ph"] = smoothWaters[int(p["water"])][0], smoothWaters[int(p["water"])][1], 7.5
	return p
})

// smoothWaters are hardness and alkalinity of invented waters, °dH, soft to hard.
var smoothWaters = [][2]float64{{12, 9}, {8, 7}, {20, 15}, {4, 3}, {5.5, 4.5}}

// ofWater are the numbers of a place's water test.
var ofWater = []string{"hardness", "alkalinity", "ph"}

// household makes the household of a place.
func (p place) household(t testing.TB, worlds int) *Household {
	k := newKitchen(t)
	k.worlds = worlds
	m := k.machine()
	m.Habit = record.Habit{WeekdayShots: p["weekday shots"], WeekendShots: p["weekend shots"], SteamedShare: new(p["steamed share"]),
		HotWaterLitres: new(p["hot water"]), DoseGrams: p["dose"], YieldGrams: p["yield"], HotHours: p["hot hours"]}
	m.Vessels[0] = record.Vessel{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless, Litres: p["brew litres"], Watts: p["brew watts"], Celsius: p["brew celsius"], OrificeMM: p["orifice"]}
	m.Vessels[1] = record.Vessel{ID: "steam", Kind: record.SteamBoiler, Material: record.Stainless, Litres: p["steam litres"], Watts: p["steam watts"], GaugeBar: p["steam bar"]}
	m.Groups[0].SealCelsius = p["seal celsius"]
	test := hardWater(p["hardness"], p["alkalinity"])
	test.Test.Values[2].Value = p["ph"]
	if kind := int(p["cartridge"]); kind > 0 {
		k.equipment[2].Line.Treatment = []record.Treatment{{
			ID: "cartridge", Kind: []record.TreatmentKind{record.Softener, record.Decarboniser, record.ReverseOsmosis}[kind-1], Fitted: today - 200,
			RatedLitres: p["rated litres"], RatedDegrees: p["rated degrees"], BypassShare: p["bypass"], Months: p["months"],
		}}
	}
	k.entries[0].Body = test
	ago := int(p["served"])
	k.served(ago, record.Service{Task: "machine/descale/brew", Left: p["left"], Grams: p["grams"]})
	k.served(ago, record.Service{Task: "machine/backflush-detergent/group", Left: p["left"]})
	service := record.Service{Task: "machine/descale/steam"}
	part := record.Service{Task: "machine/group-gasket/group"}
	if found := int(p["found"]); found > 0 {
		service.Finding = []record.Finding{record.Bare, record.Film, record.Crust, record.Flakes}[found-1]
		part.Finding = []record.Finding{record.Fresh, record.Worn, record.Failed, record.Fresh}[found-1]
	}
	k.served(ago/2, service)
	k.served(ago/3, part)
	if days := int(p["logged"]); days > 0 {
		k.logged(days, p["logged shots"])
	}
	h := k.household()
	book := record.NewBook(today, k.entries, k.days)
	h.Timelines["machine"] = use.NewTimeline(book, k.equipment[1], k.equipment[1].Bought, today.AddMonths(12*HorizonYears))
	return h
}

// raise makes one number one per cent more. A temperature in °C has no zero to
// take per cents of: it is half a degree; pH is a logarithm: it is one per cent
// less of acid.
func (p place) raise(name string) {
	switch name {
	case "brew celsius", "seal celsius":
		p[name] += 0.5
	case "ph":
		p[name] += math.Log10(1.01)
	default:
		p[name] *= 1.01
	}
}

// farthest compares two forecasts: by which share of its distance from the last
// service the date moved that moved most. A few days more are the grid's and the
// calendar's. Another water test is another draw of the 200 waters that stand for
// it, whose tails differ by chance: of one only the likely dates of descaling are
// compared.
func farthest(a, b []Outcome, ofWater bool) (share float64, which string) {
	const days = 3
	horizon := today.AddMonths(12 * HorizonYears)
	for i := range a {
		if ofWater && a[i].Scale == nil {
			continue
		}
		was, is := a[i].Window, b[i].Window
		for k, pair := range [][2]record.Date{{was.Likely, is.Likely}, {was.Early, is.Early}, {was.Late, is.Late}} {
			for j := range pair {
				if pair[j] == 0 {
					pair[j] = horizon
				}
			}
			if k > 0 && ofWater {
				break
			}
			moved := math.Abs(float64(pair[1]-pair[0])) - days
			if s := moved / max(1, float64(pair[0]-a[i].Since)); s > share {
				share, which = s, fmt.Sprintf("%s, %s: %s to %s, since %s", a[i].Duty.ID, []string{"likely", "early", "late"}[k], pair[0], pair[1], a[i].Since)
			}
		}
	}
	return share, which
}

// manyPlaces is which places the long forms go through, from one to before another: ten
// thousand, or as many as LIMEKEEP_PLACES says, or a stretch of them ("2000-4000").
func manyPlaces() (from, to int) {
	first, second, stretch := strings.Cut(os.Getenv("LIMEKEEP_PLACES"), "-")
	a, err := strconv.Atoi(first)
	if err != nil {
		return 0, 10000
	}
	if !stretch {
		return 0, a
	}
	b, err := strconv.Atoi(second)
	if err != nil {
		panic("LIMEKEEP_PLACES: " + err.Error())
	}
	return a, b
}

// neighbours is how many places share their water, their cartridge and the temperatures
// of their vessels in the long forms, since chemistry takes most of the time.
const neighbours = 20

// neighbour is a place of the long forms.
func neighbour(seed int) place {
	p, street := places.Example(seed), places.Example(seed-seed%neighbours)
	for _, name := range []string{"water", "hardness", "alkalinity", "ph", "cartridge", "rated litres", "rated degrees", "bypass", "months", "brew celsius", "steam bar"} {
		p[name] = street[name]
	}
	return p
}

// usualWorlds is how many worlds the program plays.
const usualWorlds = 500

// No jumps: one per cent more of any input moves no date by more than ten per
// cent of its distance.
func TestDatesMoveSmoothly(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	from, to, soak := 0, 3, os.Getenv("LIMEKEEP_SOAK") != ""
	draw, watered := func(seed int) place { return places.Example(seed) }, 3
	if soak {
		from, to = manyPlaces()
		draw, watered = neighbour, neighbours
	}
	worst, again := 0.0, 0
	for seed := from; seed < to; seed++ {
		p := draw(seed)
		names, worlds := amounts, 150
		if seed%watered == 2 {
			names, worlds = ofWater, 1000
		}
		before, err := Forecast(context.Background(), p.household(t, worlds))
		if err != nil {
			t.Fatal(err)
		}
		if soak { // of very many places a few numbers each
			names = names[(seed/watered+seed)%len(names):][:1]
		}
		for _, name := range names {
			more := maps.Clone(p)
			more.raise(name)
			after, err := Forecast(context.Background(), more.household(t, worlds))
			if err != nil {
				t.Fatal(err)
			}
			share, which := farthest(before, after, worlds > 150)
			if share > 0.1 && worlds < usualWorlds { // few worlds leave gaps: what counts is as many as the program plays
				again++
				pair := [2][]Outcome{}
				for i, p := range []place{p, more} {
					if pair[i], err = Forecast(context.Background(), p.household(t, usualWorlds)); err != nil {
						t.Fatal(err)
					}
				}
				share, which = farthest(pair[0], pair[1], false)
			}
			worst = max(worst, share)
			if share > 0.1 {
				t.Errorf("place %d, %s from %.4g to %.4g: %s (%.0f %%)", seed, name, p[name], more[name], which, 100*share)
			}
		}
	}
	t.Logf("of %d places, %d of them looked at twice, the farthest of all moved by %.1f %%", to-from, again, 100*worst)
}
