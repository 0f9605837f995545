package wear

import (
	"slices"
	"testing"

	"limekeep/schedule/record"
)

// Behind a cartridge worlds cross in crowds, at the end of one cartridge and then not
// before that of the next: a hundredth more of its rated litres moved the early date of
// an invented home from 22 September to 7 January, half of the way from the service. A
// few worlds more or fewer in the first crowd move it by a few days each.
func TestDatesDoNotLeapBetweenCrowds(t *testing.T) {
	const worlds, gap = 500, 107
	since := today
	early := func(before int) record.Date { // so many cross by the first end
		crossings := make([]record.Date, worlds)
		for w := range crossings {
			crossings[w] = since + 206 + gap + record.Date(w%10)
			if w < before {
				crossings[w] = since + 206 - record.Date(w%20)
			}
		}
		window, _ := windowAndQuantiles(slices.Clone(crossings), since+1826)
		if other := newWindow(crossings, since+1826); other != window {
			t.Errorf("%v by selecting, %v by sorting", other, window)
		}
		return window.Early
	}
	last := early(30)
	if last < since+206+gap {
		t.Errorf("with one world in seventeen before it, early is %s", last)
	}
	for before := 31; before <= 70; before++ {
		now := early(before)
		if last-now > 5 || now > last {
			t.Errorf("one world more before the gap moves early from %s to %s", last, now)
		}
		last = now
	}
	if last > since+206 {
		t.Errorf("with one world in seven before it, early is %s", last)
	}
}

// Towards the horizon a date moves on to its last day before it is none.
func TestDatesLeaveSightAtTheHorizon(t *testing.T) {
	const worlds = 500
	horizon := today + 1826
	likely := func(seen int) record.Date {
		crossings := make([]record.Date, worlds)
		for w := range crossings {
			if crossings[w] = never; w < seen {
				crossings[w] = today + 700
			}
		}
		return newWindow(crossings, horizon).Likely
	}
	if got := likely(270); got != today+700 {
		t.Errorf("with 54 %% in sight it is likely on %s", got)
	}
	last := likely(266)
	for seen := 265; seen > 250; seen-- {
		now := likely(seen)
		if now < last || now-last > 200 || now > horizon {
			t.Errorf("one world fewer in sight moves the likely date from %s to %s", last, now)
		}
		last = now
	}
	if last < horizon-100 || likely(250) != 0 {
		t.Errorf("the last date is %s, and with half of the worlds in sight %s", last, likely(250))
	}
}

// Which of days and gains a test waits for goes on beyond what was worked out.
func TestATestThatCanWaitLeapsNowhere(t *testing.T) {
	var days []record.Date
	var gains []float64
	for i := range 21 { // a random walk gains with the root of time
		days = append(days, today+record.Date(91*i))
		gains = append(gains, 0.1*float64(i)/20)
	}
	last := foreseen(days, gains, 0.05, today, today+1820)
	for limit := 0.051; limit < 0.4; limit += 0.001 {
		on := foreseen(days, gains, limit, today, today+1820)
		if on == never || on < last || float64(on-today) > 1.05*float64(last-today)+45 {
			t.Fatalf("for %.3f it waits until %s, for a thousandth less until %s", limit, on, last)
		}
		last = on
	}
	if on := foreseen(days, gains, 0.5, today, today+1820); on != never {
		t.Errorf("of five times what it can narrow in five years it is due on %s", on)
	}
	if on := foreseen(days, make([]float64, len(days)), 0.1, today, today+1820); on != never {
		t.Errorf("of nothing it is due on %s", on)
	}
}
