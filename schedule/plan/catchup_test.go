package plan

import (
	"slices"
	"testing"

	"limekeep/schedule/record"
)

// While more is past than a week holds, what is likely due today takes its turn among it
// by how certain it is and what it harms: a backflush of 90 minutes at stake, past its
// limit in every other world, comes before looking over a hopper, of 40, which is past in
// two of three. It stood in a later sitting than that for not being past yet.
func TestWhatIsDueTodayIsCaughtUpWith(t *testing.T) {
	seals, hopper, backflush := invented("seals", 180, 100, 0.3, 300), invented("hopper", 60, 300, 0.5, 360), invented("backflush", 60, 100, 0.2, 100)
	seals.Rank = Harm
	hopper.Weight, backflush.Weight = 40./300, 90./300
	if due := backflush.Due[LikelyQuantile]; due != testToday {
		t.Fatalf("the backflush is likely due on %s, not today", due)
	}
	r := &Request{Today: testToday, Prices: UsualPrices(), Slots: weekly(20, 180), Tasks: []Task{hopper, backflush, seals}}
	p := made(r)
	if p.CatchUp == nil || !slices.Equal(p.CatchUp.Tasks, []string{"seals", "backflush", "hopper"}) {
		t.Fatalf("caught up with %+v", p.CatchUp)
	}
	if a, b := p.Days("backflush")[0], p.Days("hopper")[0]; a > b {
		t.Errorf("the backflush stands on %s, behind the hopper's %s", a, b)
	}
}

// Work that harms by being late and is past its likely day has the first slot with room,
// also where a week holds all there is to catch up with: what its lateness can cost at all
// is as good as spent, so that by price alone it stood three Saturdays behind work that
// was not due. What is a comfort stands where it is cheapest.
func TestFewThatHarmComeFirst(t *testing.T) {
	for rank, first := range map[Rank]bool{Comfort: false, Harm: true, Safety: true} {
		descale := invented("descale", 95, 700, 0.6, 900)
		descale.Rank, descale.Stake = rank, 200
		r := &Request{Today: testToday, Prices: UsualPrices(), Slots: weekly(20, 120), Tasks: []Task{descale, invented("look", 110, 300, 0.1, 290)}}
		r.Tasks[1].Weight = 10
		p := made(r)
		if p.CatchUp != nil {
			t.Errorf("rank %d: a week's work is told as weeks of catching up: %+v", rank, p.CatchUp)
		}
		if days := p.Days("descale"); first != (len(days) > 0 && days[0] == r.Slots[0].Date()) {
			t.Errorf("rank %d: it stands on %v, the first slot is on %s", rank, days, r.Slots[0].Date())
		}
	}
}

// What is past its likely day stays where it was published up to its late date, as was
// expected when it was put there. Where it is all but sure to be past its limit it stays if
// that is not much later than it could be; else the first slot with room has it: what is
// learnt of a water can make a descaling overdue that was published for months ahead.
func TestCaughtUpWithWhereItWasPublished(t *testing.T) {
	for _, c := range []struct {
		late            bool
		published, want int
	}{
		{false, 1, 1}, {false, 8, 8}, {false, 19, 19},
		{true, 1, 1}, {true, 2, 2}, {true, 3, 0}, {true, 8, 0},
	} {
		descale := invented("descale", 95, 700, 0.6, 900)
		if c.late {
			descale = invented("descale", 95, 700, 0.1, 900)
		}
		descale.Rank, descale.Stake = Harm, 200
		slots := weekly(20, 120)
		if late := descale.Late <= testToday; late != c.late || !late && descale.Late < slots[19].Date() {
			t.Fatalf("its late date is %s", descale.Late)
		}
		descale.Published = []record.Date{slots[c.published].Date()}
		p := made(&Request{Today: testToday, Prices: UsualPrices(), Slots: slots, Tasks: []Task{descale}})
		if days := p.Days("descale"); len(days) == 0 || days[0] != slots[c.want].Date() {
			t.Errorf("past its late date %v, published for %s it stands on %v, want %s", c.late, slots[c.published].Date(), days, slots[c.want].Date())
		}
	}
}
