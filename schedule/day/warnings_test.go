package day_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule/record"
	"limekeep/schedule/sample"
	"limekeep/water"
)

// A feed with 300 mg/L of chloride pits the steel of a steam boiler, and no
// refreshing changes that: it is said first, with what helps, and draining a hot
// boiler does not become part of the routine. At 20 mg/L nothing is said.
func TestChlorideOfTheFeedIsSaidFirst(t *testing.T) {
	for chloride, warned := range map[float64]bool{20: false, 300: true} {
		d, _ := sample.SetUp(t, sample.Home())
		ctx := context.Background()
		test := sample.DropTest(14, 11)
		test.Values = append(test.Values, water.Measured{Quantity: water.Chloride, Value: chloride, Unit: water.MgPerL, Method: water.MethodLaboratory})
		if _, err := d.Journal.AddWaterTest(ctx, d.Day(t, at), today-5, record.WaterTest{Line: "tap", Test: test}); err != nil {
			t.Fatal(err)
		}
		if _, err := d.Journal.Done(ctx, d.Day(t, at), today-1, record.Service{Task: "steam-refresh/steam"}); err != nil {
			t.Fatal(err)
		}
		f := d.Forecast(t, at)
		says := strings.Join(f.Warnings(), "\n")
		if got := strings.Contains(says, "chloride"); got != warned {
			t.Errorf("chloride of %.0f mg/L: warnings %q", chloride, says)
		}
		why, err := f.DueOf("steam-refresh/steam")
		if err != nil {
			t.Fatal(err)
		}
		reasons := strings.Join(why.Why, "\n")
		for _, said := range []string{"no refreshing gets below that", "no softener takes chloride, but another source or reverse osmosis does"} {
			if got := strings.Contains(reasons, said); got != warned {
				t.Errorf("chloride of %.0f mg/L: the reasons say %q: %v", chloride, said, got)
			}
		}
		if slices.ContainsFunc(f.Routine(), func(task string) bool { return strings.Contains(task, "steam-refresh") }) {
			t.Errorf("chloride of %.0f mg/L: refreshing a hot boiler is routine", chloride)
		}
	}
}
