package wording

import (
	"fmt"
	"strings"
)

// Figures: captions, legends, heads of their tables.
const (
	ToComeWithItsSpread     = "to come, with its spread"
	NothingYet              = "Nothing yet."
	Low                     = "Low"
	High                    = "High"
	Likely                  = "Likely"
	PastItsLimit            = "past its limit"
	CloseToItsLimit         = "close to its limit"
	InOrder                 = "in order"
	Gauge                   = "Gauge"
	ExpectedWithBand        = "expected; nine in ten lie in the band by chance"
	Class                   = "Class"
	Count                   = "Count"
	Expected                = "Expected"
	ColdWater               = "cold water"
	HotWater                = "hot water"
	Part                    = "Part"
	WhatStandsHighest       = "What stands highest"
	NothingThatWears        = "nothing that wears"
	AmountAndShare          = "Amount and share"
	BeyondWhatCanBeForeseen = "beyond what can be foreseen"
	LastDone                = "last done"
	Date                    = "Date"
	WhenItFallsDue          = "When it falls due"
	HowFarFromItsLimit      = "How far it is from its limit, with what was done and found; to come if nothing is done."
	OfItsLimit              = "of its limit"
	WithWhatWasDoneAndFound = "With what was done and found; to come if nothing is done."
	UsualLimitLine          = "usual limit"
	Done                    = "done"
	PartlyDone              = "partly done"
	ShotsByWeek             = "Shots by week"
)

// Words within figures, and in their tables.
const (
	Limit         = "limit"
	Forecast      = "forecast"
	PastLimit     = "past"
	CloseToLimit  = "close"
	ExpectedAlone = "expected"
	Steam         = "steam"
	Last          = "last"
	TodayMark     = "today"
	Planned       = "planned"
	EarlyDay      = "early"
	LikelyDay     = "likely"
	LateDay       = "late"
	ShotsUnit     = "shots"
	InNumbers     = "numbers"
)

// OverTime is the title of a course.
func OverTime(name string) string { return name + ", over time" }

// InGrams is what came off.
func InGrams(grams float64) string { return fmt.Sprintf("%g g", grams) }

// BarsPast tells the bars up to today.
func BarsPast(from, unit, amounts string) string {
	return fmt.Sprintf("From %s, in %s: %s.", from, unit, amounts)
}

// BarsToCome tells those after today.
func BarsToCome(amounts string) string { return "To come: " + amounts + "." }

// AmountIn is the head of a column of amounts.
func AmountIn(unit string) string { return strings.TrimSpace("Amount " + unit) }

// DayToCome marks a day after today.
func DayToCome(day string) string { return day + " (to come)" }

// StandsAt tells where a line stands on a day.
func StandsAt(line, day, amount string) string { return fmt.Sprintf("%s on %s: %s", line, day, amount) }

// TheLimitIs tells the limit of a course.
func TheLimitIs(limit, amount string) string { return fmt.Sprintf("The %s is %s. ", limit, amount) }

// DialSays tells a gauge’s reading with its spread.
func DialSays(likely, state, low, high string) string {
	return fmt.Sprintf("%s of its limit, %s; between %s and %s four times in five.", likely, state, low, high)
}

// CountAndExpected tells a class of a histogram.
func CountAndExpected(class, count, expected string) string {
	return fmt.Sprintf("%s: %s, expected %s", class, count, expected)
}

// PartStands tells the gauge of a part that stands highest.
func PartStands(part, gauge, share, state string) string {
	return fmt.Sprintf("%s: %s, %s of its limit, %s", part, gauge, share, state)
}

// PastAsWell adds the other gauges of a part that are past their limits.
func PastAsWell(part, gauges string) string { return part + "; past as well: " + gauges }

// WayOfTheWater tells the parts of a machine in the order in which water meets them.
func WayOfTheWater(parts string) string { return "The way of the water: " + parts + "." }

// SharesOf tells what something is made up of.
func SharesOf(total, parts string) string { return fmt.Sprintf("Of %s: %s.", total, parts) }
