package say_test

import (
	"testing"

	"limekeep/schedule/say"
)

func TestAmountsCountsAndNotes(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{say.Amount(0.2512, "of the capacity"), "25 % of the capacity"},
		{say.Amount(3.04, "kg"), "3 kg"},
		{say.Bare(0.5, "of the limit"), "50 %"},
		{say.Count(1, "day"), "1 day"},
		{say.Count(0, "day"), "0 days"},
		{say.Count(2, "finding"), "2 findings"},
		{say.UpperFirst("öl am Kolben"), "Öl am Kolben"},
		{say.UpperFirst(""), ""},
		{say.WithNote("opened", ""), "opened"},
		{say.WithNote("opened", "by Ann"), "opened (by Ann)"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
