package dav

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/teambition/rrule-go"
	"pgregory.net/rapid"
)

// A rule followed on a calendar moved ahead gives what the library gives of the
// rule as it is.
func TestWalkAgreesWithLibrary(t *testing.T) {
	parts := map[string][]string{
		"BYMONTH": {"2", "3,11", "12"}, "BYMONTHDAY": {"29", "-1", "1,15,31", "13"}, "BYDAY": {"FR", "MO,WE", "SA,SU"}, "BYSETPOS": {"1", "-1"},
		"BYYEARDAY": {"60,366"}, "BYWEEKNO": {"1,53"}, "WKST": {"SU"}, "BYHOUR": {"6,18"}, "COUNT": {"1", "7", "40"}, "UNTIL": {"20280229T080000Z", "20270101"},
	}
	names := []string{"BYMONTH", "BYMONTHDAY", "BYDAY", "BYSETPOS", "BYYEARDAY", "BYWEEKNO", "WKST", "BYHOUR", "COUNT", "UNTIL"}
	rapid.Check(t, func(t *rapid.T) {
		rule := "FREQ=" + rapid.SampledFrom([]string{"DAILY", "WEEKLY", "MONTHLY", "YEARLY"}).Draw(t, "freq") + fmt.Sprintf(";INTERVAL=%d", rapid.IntRange(1, 5).Draw(t, "interval"))
		for _, name := range rapid.SliceOfNDistinct(rapid.SampledFrom(names), 0, 4, rapid.ID).Draw(t, "parts") {
			rule += ";" + name + "=" + rapid.SampledFrom(parts[name]).Draw(t, name)
		}
		anchor := time.Date(rapid.IntRange(1996, 2026).Draw(t, "year"), time.Month(rapid.IntRange(1, 12).Draw(t, "month")), rapid.IntRange(1, 31).Draw(t, "day"), 8, 0, 0, 0, time.UTC)
		before := anchor.AddDate(rapid.IntRange(1, 12).Draw(t, "years"), 0, 0)

		option, err := rrule.StrToROption(rule)
		if err != nil {
			t.Fatal(err)
		}
		option.Dtstart = anchor
		if strings.HasSuffix(rule, "UNTIL=20270101") || strings.Contains(rule, "UNTIL=20270101;") {
			option.Until = time.Date(2027, time.January, 1, 23, 59, 59, 0, time.UTC)
		}
		if option.Until.IsZero() || option.Until.After(before) {
			option.Until = before
		}
		plain, err := rrule.NewRRule(*option)
		if err != nil {
			t.Fatal(err)
		}
		var got []time.Time
		w := (&recurrence{rule: rule}).walk(anchor, time.UTC, anchor, before)
		for {
			at, ok := w.step()
			if !ok {
				break
			}
			got = append(got, at)
		}
		if want := plain.All(); w.lost || !slices.EqualFunc(got, want, time.Time.Equal) {
			t.Fatalf("%s from %s: %v, want %v (lost %v)", rule, anchor, got, want, w.lost)
		}
	})
}

// A rule that never comes true is left in good time: in at most as many days as
// a cycle and a half has.
func BenchmarkRuleWithoutEnd(b *testing.B) {
	anchor := time.Date(2026, time.March, 1, 8, 0, 0, 0, time.UTC)
	for b.Loop() {
		w := (&recurrence{rule: "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30"}).walk(anchor, time.UTC, anchor, time.Time{})
		if at, ok := w.step(); ok {
			b.Fatal(at)
		}
	}
}
