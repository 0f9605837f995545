package say

import (
	"fmt"
	"strings"

	"limekeep/schedule"
	"limekeep/water/figure"
)

// UseDifferences says what a row says now and what it said before.
func UseDifferences(c schedule.UseChange) []string {
	var all []string
	for _, v := range []struct {
		name       string
		kept, then float64
	}{
		{"shots", c.Kept.Shots, c.Given.Shots}, {"dose_g", c.Kept.DoseGrams, c.Given.DoseGrams}, {"yield_g", c.Kept.YieldGrams, c.Given.YieldGrams},
		{"seconds", c.Kept.Seconds, c.Given.Seconds}, {"steamed", c.Kept.Steamed, c.Given.Steamed}, {"hot_water_l", c.Kept.HotWaterLitres, c.Given.HotWaterLitres},
	} {
		if v.kept != v.then {
			all = append(all, fmt.Sprintf("%s %s instead of %s", v.name, figure.Exact(v.then), figure.Exact(v.kept)))
		}
	}
	for _, v := range []struct{ name, kept, then string }{
		{"grind", c.Kept.Grind, c.Given.Grind}, {"drink", c.Kept.Drink, c.Given.Drink}, {"beans", c.Kept.Beans, c.Given.Beans}, {"note", c.Kept.Note, c.Given.Note},
	} {
		if v.kept != v.then {
			all = append(all, fmt.Sprintf("%s %q instead of %q", v.name, shortWord(v.then), shortWord(v.kept)))
		}
	}
	return all
}

// shortWord keeps words to a width for a line.
func shortWord(text string) string {
	const most = 24
	runes := []rune(strings.Join(strings.Fields(text), " "))
	switch {
	case len(runes) > most:
		return string(runes[:most-1]) + "…"
	case len(runes) == 0:
		return "-"
	}
	return string(runes)
}
