package wear_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/use"
	"limekeep/schedule/wear"
	"limekeep/water"
	"limekeep/water/boiler"
	"limekeep/water/deposit"
	"limekeep/water/equilibrium"
)

// live gives the grams of scale that each vessel of a household has truly
// gathered by the start of each day since it was bought, and of the day after
// the last; what services took out is not counted. Chemistry is solved every so
// many days. Once a vessel has reached its limits after its last service, nothing
// more happens to it.
func (h *household) live(t testing.TB, solver *equilibrium.Solver, stride int) map[string][]float64 {
	t.Helper()
	grams := map[string][]float64{}
	clean := int(h.services[len(h.services)-1] - h.bought)
	for _, v := range h.equipment[0].Machine.Vessels {
		truth := h.truth.vessels[v.ID]
		enough := max(truth.limitGrams, truth.limitMM/truth.mmPerGram)
		total := make([]float64, len(h.truth.drift)+1)
		state := boiler.State{}
		for from := 0; from < len(h.truth.drift); from += stride {
			to := min(from+stride, len(h.truth.drift))
			if from > clean && total[from]-total[clean+1] > enough {
				for day := from; day < len(h.truth.drift); day++ {
					total[day+1] = total[from]
				}
				break
			}
			litres, perLitre, err := h.run(solver, v, &state, from, to)
			if err != nil {
				t.Fatalf("%s, %s: %v", h.place, v.ID, err)
			}
			for i, l := range litres {
				total[from+i+1] = total[from+i] + max(1, h.truth.beyond.deposit)*truth.multiplier*perLitre*l
			}
		}
		grams[v.ID] = total
	}
	return grams
}

// run lets a vessel run for some days: the litres of each, and the grams that a
// litre of them could lay down.
func (h *household) run(solver *equilibrium.Solver, v record.Vessel, state *boiler.State, from, to int) (litres []float64, perLitre float64, err error) {
	w := &h.truth
	supply := w.supply.Times(w.concentration(h, from))
	var steam, hot float64
	for i := from; i < to; i++ {
		day := w.days.On(h.bought + record.Date(i))
		if v.Kind == record.BrewBoiler {
			litres = append(litres, day.BrewLitres)
			continue
		}
		litres = append(litres, day.SteamLitres+day.HotWaterLitres)
		steam, hot = steam+day.SteamLitres, hot+day.HotWaterLitres
	}
	if v.Kind == record.BrewBoiler {
		wall := w.vessels[v.ID].wallCelsius
		p, err := solver.ClosedPrecipitation(supply, wall, w.siOffset(wall))
		return litres, max(0, p.CalciteMmolPerKg) * water.MolarMassCalcite / 1000, err
	}
	var laid deposit.Solids
	step := func(day boiler.Day) {
		var deposit boiler.Deposit
		if err == nil {
			*state, deposit, err = boiler.Step(solver, *state, supply, day, v.Celsius, w.siOffset(v.Celsius), w.brucite)
			laid = laid.Plus(deposit.Solids)
		}
	}
	fed := steam + hot
	if fed == 0 || hot == 0 {
		return litres, 0, nil
	}
	if !soaks() {
		// Of the same days for weeks the steady state is the answer, and quicker.
		p, err := boiler.Steady(solver, supply, v.Celsius, fed/hot, w.siOffset(v.Celsius), w.brucite)
		laid = deposit.Solids{CalciteMol: p.CalciteMmolPerKg / 1000, AnhydriteMol: p.AnhydriteMmolPerKg / 1000, BruciteMol: p.BruciteMmolPerKg / 1000}
		return litres, laid.Grams(), err
	}
	if state.WaterKg == 0 { // the first filling
		step(boiler.Day{FeedKg: filledShare * v.Litres})
	}
	step(boiler.LevelDay(hot, steam, 0))
	return litres, laid.Grams() / fed, err
}

// filledShare is how much of a steam boiler is water. Common practice, that of
// the forecasts.
const filledShare = 0.65

// concentration is how concentrated the supply is on a day, against the day of
// its test.
func (w *truth) concentration(h *household, day int) float64 {
	c := math.Exp(w.drift[day])
	if w.beyond.factor > 0 && h.bought+record.Date(day) >= w.beyond.changed {
		c *= w.beyond.factor
	}
	return c
}

// siOffset is how far off the saturation index of calcite truly is. Its
// standard deviation is 0.06 at 93 °C and 0.12 at 130 °C, straight between and
// beyond (assumption, that of the forecasts). wateq4f.dat puts it 0.12 higher at
// 93 °C than phreeqc.dat does, and 0.34 at 132 °C.
func (w *truth) siOffset(celsius float64) float64 {
	offset := w.offset * (0.06 + 0.06*(celsius-93)/(130-93))
	if w.beyond.database {
		offset += 0.12 + (0.34-0.12)*(celsius-93)/(132-93)
	}
	return offset
}

// crossing is the day on which a vessel that was clean on a day truly reaches
// the first of its limits; beyond the horizon it is later than any day.
func (h *household) crossing(vessel string, grams []float64, clean record.Date) record.Date {
	v := h.truth.vessels[vessel]
	from := int(clean - h.bought)
	for day := from; day+1 < len(grams); day++ {
		if g := grams[day+1] - grams[from+1]; g >= v.limitGrams || g*v.mmPerGram >= v.limitMM {
			return h.bought + record.Date(day)
		}
	}
	return neverDay
}

const neverDay = record.Date(math.MaxInt32)

// eye turns what truly lies on a wall into what somebody writes down.
type eye func(h *household, vessel string, grams float64) record.Finding

// Where a film begins and a crust and flakes, mm on the wall: assumptions,
// those of the forecasts.
var eyeMM = [...]float64{0.03, 0.2, 0.8}

// seen sorts a thickness.
func seen(mm float64) record.Finding {
	for i, limit := range eyeMM {
		if mm < limit {
			return []record.Finding{record.Bare, record.Film, record.Crust}[i]
		}
	}
	return record.Flakes
}

// blurred is an eye as forecasts take eyes to be: loose by half, one finding in
// twenty means nothing.
func blurred(h *household, vessel string, grams float64) record.Finding {
	if h.random.Float64() < 0.05 {
		return []record.Finding{record.Bare, record.Film, record.Crust, record.Flakes}[h.random.IntN(4)]
	}
	return seen(grams * h.truth.vessels[vessel].eyeMMPerGram * math.Exp(0.5*h.random.NormFloat64()))
}

// sharp is an eye that goes by the true thickness alone.
func sharp(h *household, vessel string, grams float64) record.Finding {
	return seen(grams * h.truth.vessels[vessel].mmPerGram)
}

// forecast asks for the windows of a household's vessels, by vessel, with what
// an eye found at the two descalings, or nothing where there is no eye.
func (h *household) forecast(t testing.TB, c *care.Catalogue, worlds int, memory *wear.Memory, grams map[string][]float64, look eye) map[string]wear.Window {
	t.Helper()
	house := &wear.Household{
		Draws: wear.Draws{Place: h.place, Worlds: worlds}, Today: now, Equipment: h.equipment,
		Timelines: map[string]*use.Timeline{},
		Tests:     map[string][]record.Dated[record.WaterTest]{"tap": {h.test}},
		Services:  map[string][]record.Dated[record.Service]{}, Planned: map[string]record.Date{}, Memory: memory,
	}
	var entries []record.Entry
	if n := len(h.logged); n > 0 {
		from, to := h.logged[0].Date, h.logged[n-1].Date
		entries = append(entries, record.Entry{ID: 2, Effective: from, Body: record.UseBatch{Machine: "machine", From: from, To: to, Rows: n}})
	}
	book := record.NewBook(now, entries, h.logged)
	house.Timelines["machine"] = use.NewTimeline(book, h.equipment[0], h.bought, now.AddMonths(12*wear.HorizonYears))
	for _, duty := range c.Duties(h.equipment) {
		if duty.Task.Findings != care.FindsScale {
			continue
		}
		house.Duties = append(house.Duties, duty)
		clean := h.bought
		for i, on := range h.services {
			service := record.Service{Task: duty.ID}
			if look != nil {
				total := grams[duty.Part]
				service.Finding = look(h, duty.Part, total[on-h.bought+1]-total[clean-h.bought+1])
			}
			house.Services[duty.ID] = append(house.Services[duty.ID], record.Dated[record.Service]{ID: int64(10 + i), On: on, Body: service})
			clean = on
		}
	}
	outcomes, err := wear.Forecast(context.Background(), house)
	if err != nil {
		t.Fatalf("household %s: %v", h.place, err)
	}
	windows := map[string]wear.Window{}
	for _, o := range outcomes {
		windows[o.Duty.Part] = o.Window
	}
	return windows
}

// tally counts how windows fared.
type tally struct {
	both, bothHeld int     // windows with both ends before the horizon
	late, lateHeld int     // windows that have an early date but whose late one lies beyond
	none, noneHeld int     // windows that lie wholly beyond
	logWidth       float64 // sum of the logarithm of late over early, from the day of the service, of those with both ends
	over           int     // of those with both ends: crossed after the window
	contest        wear.Contest
}

// add counts one window.
func (a *tally) add(w wear.Window, clean, truth record.Date, past []float64) {
	switch {
	case w.Early.IsZero():
		a.none++
		if truth == neverDay {
			a.noneHeld++
		}
	case w.Late.IsZero():
		a.late++
		if truth >= w.Early {
			a.lateHeld++
		}
	default:
		a.both++
		if truth >= w.Early && truth <= w.Late {
			a.bothHeld++
		}
		if truth > w.Late {
			a.over++
		}
		a.logWidth += math.Log(float64(w.Late-clean) / float64(max(1, w.Early-clean)))
		horizon := now.AddMonths(12 * horizonYears)
		a.contest.Add(float64(w.Early-clean), float64(w.Late-clean), float64(min(truth, horizon)-clean), past)
	}
}

// plus counts two tallies together.
func (a tally) plus(b *tally) tally {
	a.both, a.bothHeld, a.over = a.both+b.both, a.bothHeld+b.bothHeld, a.over+b.over
	a.late, a.lateHeld, a.none, a.noneHeld = a.late+b.late, a.lateHeld+b.lateHeld, a.none+b.none, a.noneHeld+b.noneHeld
	a.logWidth += b.logWidth
	return a
}

// held is the share of windows with both ends that hold, and how far chance
// alone moves it: its standard deviation at a share of four in five.
func (a tally) held() (share, chance float64) {
	return float64(a.bothHeld) / float64(a.both), math.Sqrt(0.8 * 0.2 / float64(a.both))
}

// all is the share of all windows that hold, one whose late date lies beyond
// the horizon holding whatever lies there.
func (a tally) all() float64 {
	return float64(a.bothHeld+a.lateHeld+a.noneHeld) / float64(a.both+a.late+a.none)
}

// width is the mean factor from the early date to the late one.
func (a tally) width() float64 { return math.Exp(a.logWidth / float64(a.both)) }

func (a tally) String() string {
	share, chance := a.held()
	return fmt.Sprintf("%.1f %% of %d windows with both ends hold (chance ±%.1f), %d missed late, %d early; %d of %d with the late date beyond the horizon; %d of %d wholly beyond; %.1f %% of all; early to late a factor of %.2f",
		100*share, a.both, 100*chance, a.over, a.both-a.bothHeld-a.over, a.lateHeld, a.late, a.noneHeld, a.none, 100*a.all(), a.width())
}
