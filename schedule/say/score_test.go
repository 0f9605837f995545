package say_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/score"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// What three findings say is not what thirty say.
func TestTallyInWords(t *testing.T) {
	few := score.Tally{Cases: 3, Inside: 3, Promise: 0.8, Low: 0.37, High: 1, Verdict: score.TooFew, Needed: 5}
	enough := score.Tally{Cases: 30, Inside: 24.5, Sooner: 3.5, Later: 2, Promise: 0.8, Low: 0.64, High: 0.91, Verdict: score.AsPromised}
	ours, maker := 0.2, 0.5
	fixed := score.Tally{Fixed: 4, Ours: &ours, Maker: &maker}
	for _, c := range []struct{ got, want string }{
		{say.TallyVerdict(few), "too few to tell (100 %, by chance anything from 37 % to 100 %); 5 more may tell"},
		{say.TallyVerdict(enough), "as promised (82 %, by chance anything from 64 % to 91 %)"},
		{say.Tally(enough)[0], "24.5 of 30 findings lay inside their windows, which are to hold 80 %: as promised (82 %, by chance anything from 64 % to 91 %). 3.5 had worn more than foreseen, 2 less."},
		{say.Fixed(fixed), "A fixed interval would have scored 0.5 and these forecasts 0.2 in the same 4 cases, less being better: the forecasts do better by 60 %."},
		{say.Tally(score.Tally{Cases: 4, Water: 4, Inside: 3, Sooner: 1, Promise: 0.8, Low: 0.25, High: 0.99, Verdict: score.TooFew, Needed: 10})[0], "3 of 4 findings lay inside their windows, which are to hold 80 %: too few to tell (75 %, by chance anything from 25 % to 99 %); 10 more may tell. 1 came out higher than foreseen, 0 less."},
		{say.Fixed(score.Tally{Water: 4, Cases: 4, Fixed: 4, Ours: &ours, Maker: &maker}), "The last test again would have scored 0.5 and these forecasts 0.2 in the same 4 cases, less being better: the forecasts do better by 60 %."},
		{say.ScoreOf("group-gasket"), "group gasket"},
		{say.ScoreOf("all"), "everything"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	if said := say.Tally(score.Tally{}); said != nil {
		t.Errorf("no finding, and said %q", said)
	}
	ours, maker = 0.5, 0.2
	if got := say.Fixed(fixed); !strings.HasSuffix(got, ": the interval did better.") {
		t.Errorf("%q does not say that the interval did better", got)
	}
}

func TestSinceWhenScoresAreKept(t *testing.T) {
	since := record.NewDate(2026, time.March, 4)
	for cases, want := range map[int]string{0: "Nothing was found since then", 1: "One finding could be held", 7: "7 findings could be held"} {
		s := score.Score{Since: &since, Cases: make([]score.Case, cases)}
		if got := say.ScoreSince(s); !strings.Contains(got, want) || !strings.Contains(got, "Wed 4 Mar 2026") {
			t.Errorf("%d cases: %q lacks %q or the day", cases, got, want)
		}
	}
	if got := say.ScoreSince(score.Score{}); !strings.HasPrefix(got, "No forecast was kept so far.") {
		t.Errorf("%q", got)
	}
}

// A factor either way is what an owner can hold against a date; the logarithm is ours.
func TestModelErrorInWords(t *testing.T) {
	if got, want := say.ModelError(score.ModelError{LogSD: wear.ModelLogSD}), figure.AtMost(math.Exp(wear.ModelLogSD), 2); !strings.Contains(got, "a factor of "+want+" either way, as for any place") {
		t.Errorf("%q lacks the factor %s", got, want)
	}
	got := say.ModelError(score.ModelError{Findings: 4, LogSD: math.Log(1.2), Low: math.Log(1.1), High: math.Log(1.5)})
	if !strings.Contains(got, "By 4 findings of scale the model itself is off by a factor of 1.2 here either way (1.1 to 1.5;") {
		t.Errorf("%q", got)
	}
}
