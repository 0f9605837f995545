package day_test

import (
	"context"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
	"limekeep/water"
)

func TestHistorySaysWhatEachRecordSays(t *testing.T) {
	machine, grinder, line := *sample.Home().Equipment[0].Machine, *sample.Home().Equipment[1].Grinder, *sample.Home().Equipment[2].Line
	tests := []struct {
		name string
		body record.Body
		want string
	}{
		{"a place", record.Place{ID: "home", Name: "The kitchen", Zone: "Europe/Vienna"}, "The kitchen, Europe/Vienna"},
		{"a place without a name", record.Place{ID: "home", Zone: "Europe/Vienna"}, "home, Europe/Vienna"},
		{"a machine", record.Equipment{ID: "bench", Name: "Machine", Bought: bought, Machine: &machine}, "bench: machine, Machine"},
		{"a grinder without a name", record.Equipment{ID: "grinder", Bought: bought, Grinder: &grinder}, "grinder: grinder, grinder"},
		{"a line", record.Equipment{ID: "tap", Name: "Tap", Bought: bought, Line: &line}, "tap: water line, Tap"},
		{"what left", record.Retired{Equipment: "grinder"}, "grinder left the place"},
		{"a water test", record.WaterTest{Line: "tap", Test: sample.DropTest(14, 11)}, "tap: hardness 14 dH, alkalinity 11 dH"},
		{"a water test behind a cartridge", record.WaterTest{Line: "tap", After: "softener", Note: "new", Test: water.Test{Values: []water.Measured{
			{Quantity: water.PH, Value: 7.25, Unit: water.PHUnit, Method: water.MethodMeter}}}}, "tap: pH 7.25, behind softener (new)"},
		{"use of a day", record.UseBatch{Machine: "bench", From: 9, To: 9, Rows: 1}, "bench: 1 row"},
		{"use of a file", record.UseBatch{Machine: "bench", From: record.NewDate(2026, 2, 1), To: record.NewDate(2026, 2, 28), Rows: 40, File: "log.csv", Note: "guests"},
			"bench: 40 rows, 2026-02-01 to 2026-02-28, from log.csv (guests)"},
		{"a service", record.Service{Task: "bench/group-gasket/group"}, "bench/group-gasket/group"},
		{"a service that found something", record.Service{Task: "bench/descale/brew", Finding: record.Film, Grams: 21.25, Left: 0.25, Note: "slow"},
			"bench/descale/brew, found film, 21.25 g, 25 % left (slow)"},
		{"a void", record.Void{Record: 7}, "record 7 is void"},
		{"a void with its reason", record.Void{Record: 7, Why: "wrong machine"}, "record 7 is void (wrong machine)"},
		{"a plan", record.Publication{At: noon, Entries: make([]record.PublishedSitting, 12)}, "plan with 12 dates"},
		{"a plan of one", record.Publication{At: noon, Entries: make([]record.PublishedSitting, 1)}, "plan with 1 date"},
		{"an empty plan", record.Publication{At: noon}, "plan with 0 dates"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, records := sample.SetUp(t, sample.Home())
			ctx := context.Background()
			ids, err := records.Append(ctx, record.Entry{Place: "home", Effective: today, Entered: noon, Source: "page", Body: test.body})
			if err != nil {
				t.Fatal(err)
			}
			lines, err := d.Day(t, at).History(ctx)
			if err != nil {
				t.Fatal(err)
			}
			got := lines[len(lines)-1]
			if got.Says != test.want {
				t.Errorf("got  %s\nwant %s", got.Says, test.want)
			}
			if got.Record != ids[0] || got.On != today || got.Kind != (record.Entry{Body: test.body}).Kind() || !got.Entered.Equal(noon) || got.Source != "page" || got.Voided != 0 {
				t.Errorf("line %+v", got)
			}
		})
	}
}

// History runs by the day a record holds from, and keeps what was voided.
func TestHistoryOrderAndVoids(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	late, err := d.Journal.Done(ctx, d.Day(t, at), today-1, record.Service{Task: "soak-screen"})
	if err != nil {
		t.Fatal(err)
	}
	early, err := d.Journal.Done(ctx, d.Day(t, at), today-9, record.Service{Task: "soak-screen"})
	if err != nil {
		t.Fatal(err)
	}
	void, err := d.Journal.Void(ctx, d.Day(t, at), late.Record, "")
	if err != nil {
		t.Fatal(err)
	}
	lines, err := d.Day(t, at).History(ctx)
	if err != nil {
		t.Fatal(err)
	}
	place := map[int64]int{}
	for i, l := range lines {
		place[l.Record] = i
		if i > 0 && lines[i-1].On > l.On {
			t.Errorf("record %d of %s comes behind %s", l.Record, l.On, lines[i-1].On)
		}
		if want := map[int64]int64{late.Record: void.Record}[l.Record]; l.Voided != want {
			t.Errorf("record %d is voided by %d, want %d", l.Record, l.Voided, want)
		}
	}
	if place[early.Record] > place[late.Record] || place[late.Record] > place[void.Record] {
		t.Errorf("order of records: %v", place)
	}
	// A day that has passed knows nothing of what holds from later on.
	lines, err = d.Day(t, schedule.Moment{Today: today - 5}).History(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if got := lines[len(lines)-1].Record; got != early.Record {
		t.Errorf("five days ago the last record was %d, want %d", got, early.Record)
	}
}
