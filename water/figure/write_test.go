package figure_test

import (
	"testing"

	"pgregory.net/rapid"

	"limekeep/water/figure"
)

func TestWrite(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{figure.Rough(0), "0"}, {figure.Rough(137.6), "138"}, {figure.Rough(20.4), "20"}, {figure.Rough(3.04), "3"}, {figure.Rough(3.14), "3.1"},
		{figure.Rough(0.256), "0.26"}, {figure.Rough(0.0126), "0.013"}, {figure.Rough(-0.0001), "0"}, {figure.Rough(-3.14), "-3.1"},
		{figure.AtMost(9.10, 2), "9.1"}, {figure.AtMost(100, 2), "100"}, {figure.AtMost(-0.001, 2), "0"}, {figure.AtMost(0.1249, 3), "0.125"}, {figure.AtMost(1200, 0), "1200"},
		{figure.Fixed(9.1, 2), "9.10"}, {figure.Fixed(-0.04, 1), "0.0"}, {figure.Fixed(-0.4, 0), "0"},
		{figure.Exact(0.1), "0.1"}, {figure.Exact(1e7), "10000000"}, {figure.Exact(1.25), "1.25"}, {figure.Exact(-2), "-2"},
		{figure.Percent(0.256), "26 %"}, {figure.Percent(-0.001), "0 %"},
		{figure.Percentiles{Low: 1.26, Likely: 2, High: 3.04}.Text(1), "2.0 (1.3 to 3.0)"},
	} {
		if c.got != c.want {
			t.Errorf("%q, not %q", c.got, c.want)
		}
	}
}

// What was written exactly is read as the same number.
func TestExactIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1e12, 1e12).Draw(t, "x") + 0
		if got, err := figure.Read(figure.Exact(x)); err != nil || got != x {
			t.Fatalf("%v is written %q and read %v, %v", x, figure.Exact(x), got, err)
		}
	})
}
