package main

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/viper"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// countedRecords counts how often the whole book of a place is read.
type countedRecords struct {
	schedule.Records
	reads int
}

func (c *countedRecords) Read(ctx context.Context, place string, until record.Date) (*record.Book, error) {
	c.reads++
	return c.Records.Read(ctx, place, until)
}

// readsPlace is an invented kitchen, small so that its forecast is quick.
const readsPlace = `
place: {id: corner, zone: Asia/Kolkata}
equipment:
  - {id: tap, bought: 2024-01-10, water_line: {supply: mains}}
  - id: machine
    bought: 2024-01-10
    machine:
      setting: home
      water_line: tap
      vessels: [{id: brew, kind: brew boiler, material: brass}]
      groups: [{id: g, three_way_valve: true}]
      habit: {weekday_shots: 2, weekend_shots: 4}
`

// Every command reads the whole book once.
func TestCommandsReadTheBookOnce(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	folder := t.TempDir()
	t.Setenv("HOME", folder)
	t.Setenv("XDG_CONFIG_HOME", folder)
	run := func(line ...string) int {
		t.Helper()
		var records countedRecords
		root := rootOf(&app{settings: viper.New(), over: func(r schedule.Records) schedule.Records {
			records.Records = r
			return &records
		}})
		var out bytes.Buffer
		root.SetOut(&out)
		root.SetErr(&out)
		root.SetIn(strings.NewReader(readsPlace))
		root.SetArgs(append(line, "--data", filepath.Join(folder, "records.db"), "--worlds", "20", "--effort", "1000"))
		if err := root.ExecuteContext(t.Context()); err != nil {
			t.Fatalf("%v: %v", line, err)
		}
		return records.reads
	}
	for _, line := range []string{
		"setup -", "water add --hardness 14dH --alkalinity 11dH", "use add --shots 3", "use meter 10432", "away add --from 2030-01-02 --to 2030-01-09", "away list",
		"done group-gasket", "measure pump-pressure --bar 9", "measure show", "due", "why descale/brew", "tasks", "steps group-gasket", "plan", "move descale/brew",
		"move backflush-detergent next", "block 2030-02-02", "stock", "history", "void 5", "use show", "calendar", "calendar address",
		"descale brew", "water judge", "water compare --bypass 0.2",
	} {
		want := 1
		if line == "setup -" {
			want = 2 // all versions that equipment ever had, and the day before it, for the dates that move
		}
		if n := run(strings.Fields(line)...); n != want {
			t.Errorf("limekeep %s reads the book %d times, want %d", line, n, want)
		}
	}
	if n := run("due", "--today", record.NewDate(2030, 1, 1).String()); n != 1 {
		t.Errorf("of a day that is named the book is read %d times, want once", n)
	}
}
