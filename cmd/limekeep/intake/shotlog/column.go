package shotlog

import (
	"slices"
	"strings"
)

// columnKind is what a column of a shot log holds.
type columnKind int

const (
	skippedColumn columnKind = iota
	namelessColumn
	dateColumn
	timeColumn
	shotsColumn
	doseColumn
	yieldColumn
	ratioColumn
	secondsColumn
	steamedColumn
	hotWaterColumn
	grindColumn
	drinkColumn
	beansColumn
	noteColumn
	lastColumn = noteColumn
)

// named is a column by one of its names, with what its figures are multiplied by
// where the name says their unit; 0 where it does not.
type named struct {
	column columnKind
	scale  float64
}

// columns are the columns that a shot log can have, each with other names that
// are understood, and with the field of a row that errors call it by.
var columns = []struct {
	named
	name  string
	field string
	also  []string
}{
	{named{dateColumn, 0}, "date", "date", []string{"datetime", "day", "timestamp"}},
	{named{timeColumn, 0}, "time", "time", []string{"timeofday", "clock"}},
	{named{shotsColumn, 0}, "shots", "shots", []string{"count"}},
	{named{doseColumn, 0}, "dose_g", "dose_g", []string{"dose", "dosegrams", "in", "ing"}},
	{named{yieldColumn, 0}, "yield_g", "yield_g", []string{"yield", "yieldgrams", "out", "outg"}},
	{named{ratioColumn, 0}, "ratio", "ratio", []string{"brewratio"}},
	{named{secondsColumn, 0}, "seconds", "seconds", []string{"sec", "secs", "s", "shottime", "duration"}},
	{named{steamedColumn, 0}, "steamed", "steamed", []string{"milk"}},
	{named{hotWaterColumn, 1}, "hot_water_l", "hot_water_l", []string{"hotwaterlitres", "hotwaterliters", "hotwaterlitre", "hotwaterliter"}},
	{named{hotWaterColumn, 0.001}, "hot_water_ml", "hot_water_l", []string{"hotwatermillilitres", "hotwatermilliliters", "hotwaterg", "hotwatergrams"}},
	{named{hotWaterColumn, 0.01}, "hot_water_cl", "hot_water_l", nil},
	{named{hotWaterColumn, 0.1}, "hot_water_dl", "hot_water_l", nil},
	{named{hotWaterColumn, 0}, "hot_water", "hot_water_l", nil},
	{named{grindColumn, 0}, "grind", "grind", []string{"grindsetting", "setting"}},
	{named{drinkColumn, 0}, "drink", "drink", []string{"drinks", "type"}},
	{named{beansColumn, 0}, "beans", "beans", []string{"bean", "coffee"}},
	{named{noteColumn, 0}, "note", "note", []string{"notes", "comment", "comments"}},
}

// columnNames lists the names of the columns, each column once but for the
// units of hot water that a home writes.
func columnNames() []string {
	var names []string
	for _, c := range columns {
		if c.column != hotWaterColumn || c.scale == 1 || c.scale == 0.001 {
			names = append(names, c.name)
		}
	}
	return names
}

// plainName writes "Grind setting", "grind_setting" and "Grind-Setting" alike.
func plainName(cell string) string {
	return strings.ToLower(strings.Map(func(r rune) rune {
		if strings.ContainsRune(" \u00a0\t\r\n_-()[].:", r) {
			return -1
		}
		return r
	}, cell))
}

// columnNamed finds a column by one of its names.
func columnNamed(name string) (named, bool) {
	plain := plainName(name)
	for _, c := range columns {
		if plain == plainName(c.name) || slices.Contains(c.also, plain) {
			return c.named, true
		}
	}
	return named{}, false
}
