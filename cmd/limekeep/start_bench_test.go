package main

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/spf13/viper"

	"limekeep/schedule"
	"limekeep/schedule/day"
)

// BenchmarkStart asks what is due of the demo's kitchen as a program does that has just
// started: "cold" where nothing of it was kept, "another day" where only what its water
// tests stand for was, "again" where the outlook of the day was.
func BenchmarkStart(b *testing.B) {
	folder := b.TempDir()
	b.Setenv("HOME", folder)
	b.Setenv("XDG_CONFIG_HOME", folder)
	path := filepath.Join(folder, "records.db")
	a := &app{settings: viper.New()}
	a.settings.Set("worlds", day.DefaultWorlds)
	a.settings.Set("months", day.DefaultPlanMonths)
	h, err := a.openFile(b.Context(), path, "demo")
	if err != nil {
		b.Fatal(err)
	}
	m, err := fillDemo(b.Context(), h, schedule.Moment{Today: benchToday})
	if err != nil {
		b.Fatal(err)
	}
	h.days.Rest()
	due := func(b *testing.B) {
		root := newRoot()
		var out bytes.Buffer
		root.SetOut(&out)
		root.SetErr(&out)
		root.SetArgs([]string{"due", "--data", path, "--today", benchToday.String()})
		if err := root.ExecuteContext(b.Context()); err != nil {
			b.Fatalf("%v: %s", err, out.String())
		}
	}
	forget := func(b *testing.B, kinds ...string) {
		for _, kind := range kinds {
			if err := h.db.KeepDerived(b.Context(), m.Place, kind, "", []byte{}, 0); err != nil { // no room for any other
				b.Fatal(err)
			}
		}
	}
	for _, c := range []struct {
		name   string
		before func(*testing.B)
	}{
		{"cold", func(b *testing.B) { forget(b, "outlook", "plan", "water") }},
		{"another-day", func(b *testing.B) { forget(b, "outlook", "plan") }},
		{"again", func(*testing.B) {}},
	} {
		b.Run(c.name, func(b *testing.B) {
			due(b)
			for b.Loop() {
				b.StopTimer()
				c.before(b)
				b.StartTimer()
				due(b)
			}
		})
	}
	h.close()
}
