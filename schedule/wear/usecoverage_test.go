package wear_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/schedule/wear"
)

// drinker is an invented household of which only the drinks matter. It is drawn
// and lives by code of its own: its days differ by chance and by a mood, its
// habit is not quite as stated, and it goes away. All figures are invented.
type drinker struct {
	random  *rand.Rand
	mean    float64 // shots a day
	stated  record.Habit
	mood    float64
	bought  record.Date
	away    record.Away
	logFrom record.Date // the first day of its log; after today where it keeps none
}

func drawDrinker(random *rand.Rand, logged bool, least, most int) *drinker {
	d := &drinker{random: random, mean: 4 * math.Exp(0.5*random.NormFloat64()), mood: 0.1 + 0.3*random.Float64(), bought: now - 1000, logFrom: now + 1}
	shots := d.mean * math.Exp(0.25*random.NormFloat64())
	d.stated = record.Habit{WeekdayShots: shots, WeekendShots: shots, DoseGrams: 18, YieldGrams: 36}
	if logged {
		d.logFrom = now - 30 - record.Date(random.IntN(300))
	}
	days := record.Date(least + random.IntN(most-least+1))
	last := now - record.Date(random.IntN(200))
	d.away = record.Away{From: last - days + 1, To: last}
	return d
}

// live returns the shots of a day.
func (d *drinker) live(on record.Date) float64 {
	if d.away.From <= on && on <= d.away.To {
		return 0
	}
	mean := d.mean * math.Exp(d.mood*d.random.NormFloat64()-d.mood*d.mood/2)
	n := 0
	for wait := d.random.ExpFloat64(); wait < mean; wait += d.random.ExpFloat64() {
		n++
	}
	return float64(n)
}

// A task driven by use holds its windows after a time away that was written down,
// of 14 to 200 days, with a log and without: 74 to 90 % of the true crossings of
// a limit that is drawn for each part lie within.
func TestWindowsOfUseHoldAfterAnAbsence(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	households, worlds := 60, 100 // which say less: two standard deviations of chance more
	if soaks() {
		households, worlds = 1000, 300
	}
	for _, c := range []struct {
		name   string
		logged bool
	}{{"without a log", false}, {"with a log", true}} {
		t.Run(c.name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(200, 14))
			type tally struct{ held, before, after, both int }
			tallies := map[string]*tally{}
			for number := range households {
				d := drawDrinker(random, c.logged, 14, 200)
				machine := record.Equipment{ID: "machine", Bought: d.bought, Machine: &record.Machine{Setting: record.Home, Line: "tap", Habit: d.stated,
					Vessels: []record.Vessel{{ID: "brew", Kind: record.BrewBoiler, Material: record.Stainless}}, Groups: []record.Group{{ID: "group", ThreeWayValve: true}}}}
				grinder := record.Equipment{ID: "grinder", Bought: d.bought, Grinder: &record.Grinder{Setting: record.Home, Drive: record.HandDriven,
					Geometry: record.ConicalBurrs, DiameterMM: 48, Serves: []string{"machine"}}}
				tap := record.Equipment{ID: "tap", Bought: d.bought, Line: &record.WaterLine{Supply: record.Mains}}
				entries := []record.Entry{{ID: 1, Effective: d.away.From, Body: d.away}}
				var days []record.UseDay
				shots := map[record.Date]float64{}
				horizon := now.AddMonths(12 * wear.HorizonYears)
				for on := d.bought; on <= horizon; on++ {
					shots[on] = d.live(on)
					if on >= d.logFrom && on <= now && shots[on] > 0 {
						days = append(days, record.UseDay{Machine: "machine", Date: on, Record: 2, Shots: shots[on]})
					}
				}
				if c.logged {
					entries = append(entries, record.Entry{ID: 2, Effective: d.logFrom, Body: record.UseBatch{Machine: "machine", From: d.logFrom, To: now, File: "log.csv", Rows: len(days)}})
				}
				book := record.NewBook(now, entries, days)
				house := &wear.Household{Draws: wear.Draws{Place: fmt.Sprintf("drinker %d", number), Worlds: worlds}, Today: now,
					Equipment: []record.Equipment{tap, machine, grinder}, Timelines: map[string]*use.Timeline{"machine": use.NewTimeline(book, machine, d.bought, horizon)},
					Services: map[string][]record.Dated[record.Service]{}, Planned: map[string]record.Date{}}
				served := map[string]record.Date{}
				for _, duty := range catalogue.Duties(house.Equipment) {
					if len(duty.Gauges) != 1 || duty.Gauges[0].Driver != care.ByShots && duty.Gauges[0].Driver != care.ByKilograms {
						continue
					}
					on := now - record.Date(random.IntN(150))
					served[duty.ID] = on
					house.Duties = append(house.Duties, duty)
					house.Services[duty.ID] = []record.Dated[record.Service]{{ID: 9, On: on, Body: record.Service{Task: duty.ID}}}
				}
				outcomes, err := wear.Forecast(context.Background(), house)
				if err != nil {
					t.Fatal(err)
				}
				for _, o := range outcomes {
					limit := o.Duty.Gauges[0].Limit
					z := random.NormFloat64() / 1.2815515655446004
					truth := limit.Usual * math.Pow(limit.High/limit.Usual, z)
					if z < 0 {
						truth = limit.Usual * math.Pow(limit.Low/limit.Usual, -z)
					}
					if o.Duty.Gauges[0].Driver == care.ByKilograms {
						truth /= 0.018
					}
					crossed, sum := neverDay, 0.0
					for on := served[o.Duty.ID] + 1; on <= horizon; on++ {
						if sum += shots[on]; sum >= truth {
							crossed = on
							break
						}
					}
					if o.Window.Early.IsZero() || o.Window.Late.IsZero() {
						continue
					}
					a := tallies[o.Duty.Task.ID]
					if a == nil {
						a = &tally{}
						tallies[o.Duty.Task.ID] = a
					}
					a.both++
					switch {
					case crossed < o.Window.Early:
						a.before++
					case crossed > o.Window.Late:
						a.after++
					default:
						a.held++
					}
				}
			}
			var all tally
			for task, a := range tallies {
				says := fmt.Sprintf("%s: of %d windows %.0f %% hold, %.0f %% are early, %.0f %% late", task, a.both,
					100*float64(a.held)/float64(a.both), 100*float64(a.after)/float64(a.both), 100*float64(a.before)/float64(a.both))
				if share := float64(a.held) / float64(a.both); soaks() && (share < 0.74 || share > 0.90) {
					t.Error(says)
				}
				t.Log(says)
				all.held, all.both = all.held+a.held, all.both+a.both
			}
			share, chance := float64(all.held)/float64(all.both), math.Sqrt(0.8*0.2/float64(all.both))
			if all.both < households || share < 0.74-2*chance || share > 0.90+2*chance {
				t.Errorf("%.0f %% of %d windows hold", 100*share, all.both)
			}
		})
	}
}
