package say_test

import (
	"strings"
	"testing"
	"time"

	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
)

// A window is told as far as it is known, and a day that is sure as that day.
func TestWhySaysTheWindow(t *testing.T) {
	today := record.NewDate(2026, time.November, 27)
	day := func(month time.Month, d int) record.Date { return record.NewDate(2027, month, d) }
	for _, c := range []struct {
		name   string
		window wear.Window
		want   string
	}{
		{"within five years", wear.Window{Early: day(time.January, 2), Likely: day(time.March, 2), Late: day(time.June, 2)},
			"It falls due about Tue 2 Mar 2027; one chance in ten before Sat 2 Jan 2027, one after Wed 2 Jun 2027."},
		{"late beyond them", wear.Window{Early: day(time.January, 2), Likely: day(time.March, 2)},
			"It falls due about Tue 2 Mar 2027; one chance in ten before Sat 2 Jan 2027, one beyond Thu 27 Nov 2031."},
		{"a maker's age limit", wear.Window{Early: day(time.March, 2), Likely: day(time.March, 2), Late: day(time.March, 2)},
			"It falls due on Tue 2 Mar 2027."},
	} {
		says := say.Why(wear.Outcome{Window: c.window}, say.WhyFacts{Today: today})
		if got := says[len(says)-1]; got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// One of a thing is told as one.
func TestWhyCountsOne(t *testing.T) {
	x := wear.Outcome{Scale: &wear.VesselScale{LitresPerWeek: 1.04, WallCelsius: 137}}
	says := strings.Join(say.Why(x, say.WhyFacts{Makers: []say.Maker{{Name: "machine", Weekly: 23, LoggedDays: 1}}}), " ")
	for _, want := range []string{"About 1 litre a week goes through", "by stated habit and 1 logged day of the last eight weeks."} {
		if !strings.Contains(says, want) {
			t.Errorf("%q is not said: %s", want, says)
		}
	}
}
