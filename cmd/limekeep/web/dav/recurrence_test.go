package dav

import (
	"testing"
	"time"

	"limekeep/schedule/recur"
)

// A rule that never comes true is left in good time: after ten years.
func BenchmarkRuleWithoutEnd(b *testing.B) {
	anchor := time.Date(2026, time.March, 1, 8, 0, 0, 0, time.UTC)
	rule, err := recur.ParseRule("FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if starts, ok := (&recurrence{rule: &rule}).begins(b.Context(), anchor, time.UTC, recur.Window{From: anchor}); !ok || len(starts) > 0 {
			b.Fatal(starts, ok)
		}
	}
}
