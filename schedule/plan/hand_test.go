package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule/record"
)

// tally is what a plan comes to over a year.
type tally struct {
	sittings, turns, coldDowns float64
	minutes                    float64    // elapsed, with heating, cooling and waits
	daysLate                   float64    // summed up over turns, on the average over the worlds
	lateBy                     [3]float64 // the same by what lateness does: comfort, harm, safety
	livesWasted                float64
	harm, waste                float64 // in minutes
}

func (a *tally) add(b tally, share float64) {
	a.sittings += share * b.sittings
	a.turns += share * b.turns
	a.coldDowns += share * b.coldDowns
	a.minutes += share * b.minutes
	for i := range a.lateBy {
		a.lateBy[i] += share * b.lateBy[i]
	}
	a.daysLate += share * b.daysLate
	a.livesWasted += share * b.livesWasted
	a.harm += share * b.harm
	a.waste += share * b.waste
}

// tallyOf works out what doing each task on some days comes to in the first
// year, world by world.
func tallyOf(r *Request, days [][]record.Date) tally {
	const year = 365
	var sum tally
	sittings, cold := map[record.Date][]int{}, map[string]bool{}
	for i := range r.Tasks {
		t := &r.Tasks[i]
		at := t.start(r.Today)
		sunk := at.turn(t, &r.Prices, 0)
		for n, on := range append(slices.Clone(days[i]), r.Today+year) {
			last := on >= r.Today+year
			on = min(on, r.Today+year)
			day := float64(on - r.Today)
			turn := at.turn(t, &r.Prices, day)
			late, harm := turn.Days, turn.Harm
			if n == 0 {
				late, harm = late-sunk.Days, harm-sunk.Harm
			}
			sum.daysLate += late
			sum.lateBy[t.Rank] += late
			sum.harm += harm
			if last { // what is late at the end of the year counts, what is not used up does not
				break
			}
			sum.turns++
			sum.waste += turn.Waste
			sum.livesWasted += turn.Unused
			sittings[on] = append(sittings[on], i)
			for _, s := range t.States {
				if s.Name == "cold" {
					cold[fmt.Sprint(s.Of, on)] = true
				}
			}
			at = t.fresh(on, r.Today)
		}
	}
	sum.sittings, sum.coldDowns = float64(len(sittings)), float64(len(cold))
	clock := newClock(r)
	for _, set := range sittings { // whole minutes: the order does not show
		sum.minutes += math.Round(clock.elapsed(set))
	}
	return sum
}

// onLikelyDates does each task on its own likely date, as somebody would who
// writes each into a calendar by itself.
func onLikelyDates(r *Request) [][]record.Date {
	days := make([][]record.Date, len(r.Tasks))
	for i := range r.Tasks {
		t := &r.Tasks[i]
		on := max(r.Today, t.Due[10])
		for on < r.Today+365 {
			days[i] = append(days[i], on)
			l := t.from(on)
			on += record.Date(max(1, math.Round(l[10])))
		}
	}
	return days
}

// onFixedIntervals does everything on Saturdays: each task at the longest usual
// interval that an average household's likely life covers, counted for all from
// the same Saturday, so that they fall together.
func onFixedIntervals(r *Request, usual []float64) [][]record.Date {
	first := r.Slots[0].Date()
	days := make([][]record.Date, len(r.Tasks))
	for i := range r.Tasks {
		every := record.Date(7)
		for _, weeks := range []record.Date{1, 2, 4, 8, 13, 26, 52, 104, 156} {
			if float64(7*weeks) <= usual[i] {
				every = 7 * weeks
			}
		}
		// Somebody who keeps to intervals does not start anew with each.
		on := first
		for on < r.Tasks[i].Fresh+every {
			on += 7
		}
		if every >= 28 { // to the next day on which others of its sort are done
			on += (every/4*4 - (on-first)%28) % 28
		}
		for ; on < r.Today+365; on += every {
			days[i] = append(days[i], on)
		}
	}
	return days
}

// asLived gives the machines of a household the time that one of a litre takes to heat
// and to cool, descaling its waits, and each task what its lateness does. Assumptions.
func asLived(r *Request) {
	r.Machines = map[string]Machine{}
	for i := range r.Tasks {
		t := &r.Tasks[i]
		r.Machines[t.Of] = Machine{HeatMinutes: 20, CoolMinutes: 240}
		for _, s := range t.States {
			r.Machines[s.Of] = Machine{HeatMinutes: 20, CoolMinutes: 240}
		}
		switch {
		case strings.Contains(t.ID, "descale"):
			t.Rank, t.Hands, t.Acid = Harm, 75, true
			t.Waits = []Wait{{After: 35, Minutes: 25, For: "acid standing"}, {After: 45, Minutes: 20, For: "second bath standing"}}
		case strings.Contains(t.ID, "hose"), strings.Contains(t.ID, "/valve"):
			t.Rank, t.Steep = Safety, 3
		case strings.Contains(t.ID, "cartridge"), strings.Contains(t.ID, "gasket"), strings.Contains(t.ID, "refresh"):
			t.Rank = Harm
		}
	}
}

// alarmsEach is how many reminders an entry with a time has, as the calendar gives it:
// a day and two hours before.
const alarmsEach = 2

// Against two plans that a person would make by hand, on simulated households.
func TestAgainstPlansByHand(t *testing.T) {
	households := 20
	if soaking() {
		households = 200
	}
	var ours, likely, fixed tally
	worseThanHalf := 0
	for i := range households {
		r, usual := householdWithUsual(rand.New(rand.NewPCG(uint64(i), 21)))
		asLived(r)
		p := made(r)
		days := make([][]record.Date, len(r.Tasks))
		for j := range r.Tasks {
			days[j] = p.Days(r.Tasks[j].ID)
		}
		share := 1 / float64(households)
		a, b, c := tallyOf(r, days), tallyOf(r, onLikelyDates(r)), tallyOf(r, onFixedIntervals(r, usual))
		if a.sittings > b.sittings/2 {
			worseThanHalf++
		}
		ours.add(a, share)
		likely.add(b, share)
		fixed.add(c, share)
	}
	t.Logf("%d households, a year each, on the average:", households)
	for _, row := range []struct {
		name    string
		entries float64 // in the calendar: planned, one for each sitting; by hand, one for each task
		tally
	}{{"planned", ours.sittings, ours}, {"own likely dates", likely.turns, likely}, {"fixed intervals", fixed.turns, fixed}} {
		t.Logf("%-18s %5.1f sittings %6.1f turns %5.0f min elapsed %5.1f cold-downs %5.1f entries and %5.1f alarms a month; days late %6.1f (safety %.1f, harm %.1f, comfort %.1f); %5.1f lives wasted %6.0f min harm %6.0f min waste",
			row.name, row.sittings, row.turns, row.minutes, row.coldDowns, row.entries/12, alarmsEach*row.entries/12,
			row.daysLate, row.lateBy[Safety], row.lateBy[Harm], row.lateBy[Comfort], row.livesWasted, row.harm, row.waste)
	}
	t.Logf("%d of %d households have more than half the sittings of the first", worseThanHalf, households)
	if ours.sittings > likely.sittings/2 || ours.daysLate > likely.daysLate {
		t.Errorf("more than half the sittings of the tasks' own likely dates, or more days late")
	}
	if ours.waste >= fixed.waste || ours.harm >= fixed.harm {
		t.Errorf("not less waste and less harm than fixed intervals")
	}
}
