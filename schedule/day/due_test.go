package day_test

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// Each duty of the equipment is answered for, the soonest first.
func TestDueListsEveryDuty(t *testing.T) {
	d := sample.ReadOnly(t)
	dues := sample.DuesOf(t, d, at)
	var got, want []string
	for i, due := range dues {
		got = append(got, due.Task)
		if i > 0 && due.Likely != nil && (dues[i-1].Likely == nil || *dues[i-1].Likely > *due.Likely) {
			t.Errorf("%s stands behind what falls due later", due.Task)
		}
	}
	for _, duty := range d.Catalogue.Duties(sample.Home().Equipment) {
		if !duty.Gauges[0].Driver.OfAbsence() { // what goes with a time away waits for one
			want = append(want, duty.ID)
		}
	}
	slices.Sort(got)
	slices.Sort(want)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("tasks (-want +got):\n%s", diff)
	}
}

func TestDueHoldsTogether(t *testing.T) {
	for _, due := range sample.DuesOf(t, sample.ReadOnly(t), at) {
		t.Run(due.Task, func(t *testing.T) {
			if due.Beyond != (due.Likely == nil) || due.Beyond && (due.Late != nil || due.Sitting != nil) {
				t.Errorf("beyond %t, window %v, %v, %v, sitting %v", due.Beyond, due.Early, due.Likely, due.Late, due.Sitting)
			}
			if due.Likely != nil && (due.Early == nil || *due.Early > *due.Likely || due.Late != nil && *due.Late < *due.Likely) {
				t.Errorf("the window %s, %s, %v does not rise", due.Early, due.Likely, due.Late)
			}
			if want := due.Likely != nil && *due.Likely < today; due.Overdue != want {
				t.Errorf("overdue %t, likely %v", due.Overdue, due.Likely)
			}
			if (due.LastService == nil) != (due.Served == 0) || due.LastService != nil && *due.LastService != due.Fresh {
				t.Errorf("last service %v, record %d, fresh %s", due.LastService, due.Served, due.Fresh)
			}
			if due.Fresh < bought || due.Fresh > today {
				t.Errorf("fresh since %s", due.Fresh)
			}
			if len(due.Gauges) == 0 || len(due.Why) == 0 || len(due.Cautions) == 0 || len(due.MakeSafe) == 0 {
				t.Errorf("%d gauges, %d reasons, %d cautions, %d lines to make safe", len(due.Gauges), len(due.Why), len(due.Cautions), len(due.MakeSafe))
			}
			for _, g := range due.Gauges {
				if !(g.Reading >= 0) || !(g.Limit > 0) || g.Unit == "" || g.Name == "" {
					t.Errorf("gauge %+v", g)
				}
			}
			for _, s := range due.Why {
				if !strings.HasSuffix(s, ".") || strings.Contains(s, "NaN") || strings.Contains(s, "%!") || strings.Contains(s, "no date") {
					t.Errorf("not a sentence: %q", s)
				}
			}
			if due.Sitting != nil {
				on := record.DateOf(*due.Sitting)
				if on < today || due.Likely == nil || due.Routine {
					t.Errorf("planned for %s, likely %v, routine %t", on, due.Likely, due.Routine)
				}
			}
		})
	}
}

// The answer's names are a contract with whoever reads the JSON; what is not
// known is null, never a date that was made up.
func TestDueJSON(t *testing.T) {
	dues := sample.DuesOf(t, sample.ReadOnly(t), at)
	read := func(task string) map[string]any {
		data, err := json.Marshal(sample.DueOf(t, dues, task))
		if err != nil {
			t.Fatal(err)
		}
		var fields map[string]any
		if err := json.Unmarshal(data, &fields); err != nil {
			t.Fatal(err)
		}
		return fields
	}
	served, beyond := read("bench/descale/brew"), read("grinder/burr-replacement")
	for _, name := range []string{
		"task", "equipment", "equipment_name", "title", "early", "likely", "late", "beyond", "overdue", "routine", "sitting",
		"last_service", "fresh", "served", "gauges", "why", "cautions", "make_safe", "who", "minutes",
	} {
		for task, fields := range map[string]map[string]any{"served": served, "beyond": beyond} {
			if _, ok := fields[name]; !ok {
				t.Errorf("%s: no field %q", task, name)
			}
		}
	}
	for _, name := range []string{"early", "likely", "late", "sitting", "last_service"} {
		if beyond[name] != nil {
			t.Errorf("burrs that outlive the forecast: %s is %v, want null", name, beyond[name])
		}
	}
	if beyond["beyond"] != true || beyond["overdue"] != false || beyond["served"] != 0.0 || beyond["fresh"] != "2024-03-01" {
		t.Errorf("burrs: %v", beyond)
	}
	if served["last_service"] != "2025-03-08" || served["fresh"] != "2025-03-08" || served["beyond"] != false || served["who"] != string(care.HandyOwner) {
		t.Errorf("the brew boiler: %v", served)
	}
	if likely, ok := served["likely"].(string); !ok || len(likely) != len("2026-01-01") {
		t.Errorf("the brew boiler is likely due on %v", served["likely"])
	}
	gauge, ok := served["gauges"].([]any)[0].(map[string]any)
	if !ok {
		t.Fatalf("gauges: %v", served["gauges"])
	}
	for _, name := range []string{"name", "reading", "limit", "unit", "driver"} {
		if _, ok := gauge[name]; !ok {
			t.Errorf("a gauge without %q", name)
		}
	}
}

func TestWhyFindsTheTask(t *testing.T) {
	d := sample.ReadOnly(t)
	for _, name := range []string{"bench/descale/brew", "descale/brew"} {
		got, err := d.Forecast(t, at).DueOf(name)
		if err != nil || got.Task != "bench/descale/brew" {
			t.Errorf("%s: %s, %v", name, got.Task, err)
			continue
		}
		if diff := cmp.Diff(sample.DueOf(t, sample.DuesOf(t, d, at), got.Task), got); diff != "" {
			t.Errorf("alone it answers otherwise than among all:\n%s", diff)
		}
	}
	for _, name := range []string{"descale", "rocket", ""} {
		if _, err := d.Forecast(t, at).DueOf(name); !errors.Is(err, record.ErrUnknown) {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// The reasons carry the numbers they rest on: each of these was written down.
func TestWhyNamesWhatItRestsOn(t *testing.T) {
	dues := sample.DuesOf(t, sample.ReadOnly(t), at)
	tests := []struct {
		task string
		says []string
	}{
		{"bench/descale/brew", []string{"water tests up to Mon 3 Nov 2025", "behind its cartridge", "since Sat 8 Mar 2025", "2.5 to 5", "1 finding", "13 logged days"}},
		{"bench/group-gasket/group", []string{"since Fri 1 Mar 2024", "the limit is usually 2920 h", "1460 to 4380", "common practice"}},
		{"bench/backflush-detergent/group", []string{"since Sat 14 Feb 2026", "usually 100 shots", "50 to 200", "1 finding"}},
		{"grinder/burr-replacement", []string{"usually 400 kg", "not due within the 5 years", "Machine on the bench makes about"}},
		{"tap/cartridge/softener", []string{"since Sat 10 Jan 2026", "% of the capacity"}},
		{"tap/water-test", []string{"last water test is of Mon 3 Nov 2025"}},
	}
	for _, test := range tests {
		text := strings.Join(sample.DueOf(t, dues, test.task).Why, " ")
		for _, part := range test.says {
			if !strings.Contains(text, part) {
				t.Errorf("%s does not say %q:\n%s", test.task, part, text)
			}
		}
	}
}

func TestTasksSayWhatTheCatalogueSays(t *testing.T) {
	d := sample.ReadOnly(t)
	tasks := d.Day(t, at).Tasks()
	duties := d.Catalogue.Duties(sample.Home().Equipment)
	if len(tasks) != len(duties) {
		t.Fatalf("%d tasks for %d duties", len(tasks), len(duties))
	}
	for i, info := range tasks {
		task := duties[i].Task
		if info.Task != duties[i].ID || info.Title != duties[i].Title || info.Equipment != duties[i].Equipment.ID {
			t.Errorf("%s is %+v", duties[i].ID, info)
		}
		if diff := cmp.Diff(task.Steps, info.Steps); diff != "" {
			t.Errorf("%s, steps:\n%s", info.Task, diff)
		}
		if len(info.Cautions) != len(task.Hazards) || len(info.MakeSafe) != len(task.MakeSafe) || len(info.Gauges) != len(duties[i].Gauges) {
			t.Errorf("%s: %d cautions, %d lines to make safe, %d gauges", info.Task, len(info.Cautions), len(info.MakeSafe), len(info.Gauges))
		}
		for _, g := range info.Gauges {
			if !(0 < g.Low && g.Low <= g.Usual && g.Usual <= g.High) || g.Source == "" {
				t.Errorf("%s: gauge %+v", info.Task, g)
			}
		}
		wantFindings := map[care.Findings]int{care.FindsScale: 4, care.FindsPart: 3}[task.Findings]
		if len(info.Findings) != wantFindings {
			t.Errorf("%s finds %v", info.Task, info.Findings)
		}
	}
}

// A service makes its own part fresh, and what was overhauled is fresh since
// then, whatever was done to it before.
func TestWhatMakesFresh(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Lever())
	ctx := context.Background()
	const task = "lever/group-gasket/group"
	fresh := func() (record.Date, int64) {
		due := sample.DueOf(t, sample.DuesOf(t, d, at), task)
		return due.Fresh, due.Served
	}
	if on, served := fresh(); on != bought || served != 0 {
		t.Errorf("new: fresh since %s, record %d", on, served)
	}
	first, err := d.Journal.Done(ctx, d.Day(t, at), today-200, record.Service{Task: task, Finding: record.Worn})
	if err != nil {
		t.Fatal(err)
	}
	if on, served := fresh(); on != today-200 || served != first.Record {
		t.Errorf("changed: fresh since %s, record %d", on, served)
	}
	overhauled := sample.Lever()
	overhauled.Equipment[0].Bought = today - 50
	if _, err := d.Journal.SetUp(ctx, today-50, overhauled); err != nil {
		t.Fatal(err)
	}
	if on, served := fresh(); on != today-50 || served != 0 {
		t.Errorf("overhauled: fresh since %s, record %d", on, served)
	}
	second, err := d.Journal.Done(ctx, d.Day(t, at), today-10, record.Service{Task: task})
	if err != nil {
		t.Fatal(err)
	}
	if on, served := fresh(); on != today-10 || served != second.Record {
		t.Errorf("changed again: fresh since %s, record %d", on, served)
	}
	if _, err := d.Journal.Void(ctx, d.Day(t, at), second.Record, ""); err != nil {
		t.Fatal(err)
	}
	if on, served := fresh(); on != today-50 || served != 0 {
		t.Errorf("voided: fresh since %s, record %d", on, served)
	}
}

// Names are in any script, and a sentence may begin with one.
func TestWhyBeginsWithAName(t *testing.T) {
	for name, want := range map[string]string{"éclair": "Éclair makes", "咖啡机": "咖啡机 makes", "the lever": "The lever makes", "ǆ": "Ǆ makes"} {
		setup := sample.Lever()
		setup.Equipment[0].Name = name
		d, _ := sample.SetUp(t, setup)
		due, err := d.Forecast(t, at).DueOf("soak-screen")
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Join(due.Why, "\n")
		if !utf8.ValidString(text) || strings.ContainsRune(text, utf8.RuneError) || !strings.Contains(text, want) {
			t.Errorf("%s: no sentence begins %q:\n%s", name, want, text)
		}
	}
}
