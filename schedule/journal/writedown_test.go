package journal_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
	"limekeep/water"
)

func TestDoneFindsTheTask(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	tests := []struct {
		name, task, want string
	}{
		{"the whole id", "bench/descale/brew", "bench/descale/brew"},
		{"its end", "descale/brew", "bench/descale/brew"},
		{"its middle", "group-gasket", "bench/group-gasket/group"},
		{"the beginning", "grinder/burr-cleaning", "grinder/burr-cleaning"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			written, err := d.Journal.Done(context.Background(), d.Day(t, at), 0, record.Service{Task: test.task})
			if err != nil {
				t.Fatal(err)
			}
			e, err := records.Find(context.Background(), written.Record)
			if err != nil {
				t.Fatal(err)
			}
			if got := e.Body.(record.Service).Task; got != test.want || written.On != today || e.Effective != today || written.What == "" {
				t.Errorf("kept %s on %s, said %+v, want %s today", got, e.Effective, written, test.want)
			}
		})
	}
}

// Where nothing was done but look, the answer does not say that it was.
func TestDoneSaysOfALookThatItWasOne(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home())
	written, err := d.Journal.Done(t.Context(), d.Day(t, at), 0, record.Service{Task: "group-gasket", Finding: record.Worn, Left: record.OnlyLooked})
	if err != nil || !strings.HasPrefix(written.What, "only looked, not done: “") {
		t.Errorf("said %q, %v", written.What, err)
	}
}

func TestDoneRefusesOtherNames(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	before := records.Count()
	tests := []struct {
		name, task string
		known      []string // that the error must name
	}{
		{"more than one is called so", "descale", []string{"bench/descale/brew", "bench/descale/steam"}},
		{"half a word", "desc", []string{"grinder/burr-cleaning"}},
		{"nothing", "", []string{"grinder/burr-cleaning"}},
		{"another equipment", "moka/descale/brew", []string{"bench/descale/brew"}},
		{"slashes alone", "/", []string{"bench/descale/brew"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := d.Journal.Done(context.Background(), d.Day(t, at), 0, record.Service{Task: test.task})
			var unknown *record.UnknownError
			if !errors.As(err, &unknown) || !errors.Is(err, record.ErrUnknown) {
				t.Fatalf("got %v", err)
			}
			for _, id := range test.known {
				if !slices.Contains(unknown.Known, id) {
					t.Errorf("it does not name %s: %v", id, err)
				}
			}
			if test.task == "descale" && len(unknown.Known) != 2 {
				t.Errorf("it names more than those it could be: %v", unknown.Known)
			}
		})
	}
	if records.Count() != before {
		t.Errorf("%d records were written", records.Count()-before)
	}
}

func TestDoneRefusesWhatCannotBe(t *testing.T) {
	tests := []struct {
		name    string
		on      record.Date
		service record.Service
		field   string
	}{
		{"tomorrow", today + 1, record.Service{Task: "group-gasket"}, "date"},
		{"before it was bought", bought - 1, record.Service{Task: "group-gasket"}, "date"},
		{"before the cartridge was fitted", record.NewDate(2026, 1, 9), record.Service{Task: "cartridge"}, "date"},
		{"a finding of scale on a gasket", 0, record.Service{Task: "group-gasket", Finding: record.Crust}, "finding"},
		{"a finding of a part on scale", 0, record.Service{Task: "descale/brew", Finding: record.Worn}, "finding"},
		{"a finding where none is recorded", 0, record.Service{Task: "burr-cleaning", Finding: record.Fresh}, "finding"},
		{"grams of gasket", 0, record.Service{Task: "group-gasket", Grams: 1}, "grams"},
		{"all left", 0, record.Service{Task: "descale/brew", Left: 1}, "finding"},
		{"a water test without values", 0, record.Service{Task: "water-test"}, "task"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, records := sample.SetUp(t, sample.Home())
			before := records.Count()
			_, err := d.Journal.Done(context.Background(), d.Day(t, at), test.on, test.service)
			sample.Refused(t, err, test.field, records, before)
		})
	}
}

func TestVoidRules(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	service, err := d.Journal.Done(ctx, d.Day(t, at), today-5, record.Service{Task: "group-gasket"})
	if err != nil {
		t.Fatal(err)
	}
	use, err := d.Journal.AddUse(ctx, d.Day(t, at), journal.UseEntry{Machine: "", From: today - 4, To: today - 2, Sum: record.UseRow{Shots: 3}, Note: ""})
	if err != nil {
		t.Fatal(err)
	}
	test, err := d.Journal.AddWaterTest(ctx, d.Day(t, at), today-9, record.WaterTest{Test: sample.DropTest(14, 11)})
	if err != nil {
		t.Fatal(err)
	}
	ids, err := records.Append(ctx, record.Entry{Place: "home", Effective: today, Body: record.Publication{At: noon}},
		record.Entry{Place: "home", Effective: today, Body: record.Retired{Equipment: "grinder"}})
	if err != nil {
		t.Fatal(err)
	}
	publication, retired := ids[0], ids[1]

	before := records.Count()
	for name, id := range map[string]int64{"a place": 1, "equipment": 2, "what left": retired, "a plan that went out": publication, "no record": 0, "less than none": -1} {
		_, err := d.Journal.Void(ctx, d.Day(t, at), id, "")
		t.Run(name, func(t *testing.T) { sample.Refused(t, err, "record", records, before) })
	}
	if _, err := d.Journal.Void(ctx, d.Day(t, at), 999, ""); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("a record that is not there: %v", err)
	}
	if _, err := d.Journal.Void(ctx, d.Day(t, at), service.Record, strings.Repeat("x", 1001)); err == nil {
		t.Error("a reason of any length was taken")
	}

	for _, w := range []journal.Receipt{service, use, test} {
		void, err := d.Journal.Void(ctx, d.Day(t, at), w.Record, "a slip")
		if err != nil {
			t.Fatal(err)
		}
		// It counts as from the day of what it voids.
		if void.On != w.On {
			t.Errorf("record %d of %s is voided from %s", w.Record, w.On, void.On)
		}
	}
	book, err := records.Read(ctx, "home", today)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(book.Services("bench/group-gasket/group")) + len(book.UseBatches("bench")) + len(book.WaterTests("tap")) + len(book.DaysOf("bench")); n != 0 {
		t.Errorf("%d things that were voided are still there", n)
	}
}

func TestAddWaterTest(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	written, err := d.Journal.AddWaterTest(ctx, d.Day(t, at), 0, record.WaterTest{After: "softener", Test: sample.DropTest(6, 11), Note: "new cartridge"})
	if err != nil {
		t.Fatal(err)
	}
	kept := records.Of(record.KindWaterTest)[0]
	if got := kept.Body.(record.WaterTest); got.Line != "tap" || got.After != "softener" || kept.Effective != today || written.On != today {
		t.Errorf("kept %+v from %s", got, kept.Effective)
	}
	before := records.Count()
	add := func(on record.Date, w record.WaterTest) error {
		_, err := d.Journal.AddWaterTest(ctx, d.Day(t, at), on, w)
		return err
	}
	t.Run("tomorrow", func(t *testing.T) {
		sample.Refused(t, add(today+1, record.WaterTest{Test: sample.DropTest(14, 11)}), "date", records, before)
	})
	t.Run("before the line", func(t *testing.T) {
		sample.Refused(t, add(bought-1, record.WaterTest{Test: sample.DropTest(14, 11)}), "date", records, before)
	})
	if err := add(0, record.WaterTest{After: "magnet", Test: sample.DropTest(14, 11)}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("behind what is not there: %v", err)
	}
	if err := add(0, record.WaterTest{Line: "bench", Test: sample.DropTest(14, 11)}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("the water of a machine: %v", err)
	}
	if err := add(0, record.WaterTest{}); !errors.Is(err, water.ErrEmptyTest) {
		t.Errorf("no values: %v", err)
	}
	if err := add(0, record.WaterTest{Test: sample.DropTest(-1, 11)}); err == nil {
		t.Error("a hardness below none was taken")
	}
	// Each value could be of a water, both together could not: caught now, not
	// by the next forecast.
	odd := water.Test{Values: []water.Measured{
		{Quantity: water.Conductivity, Value: 10, Unit: water.MicrosiemensPerCm, Method: water.MethodLaboratory},
		{Quantity: water.Chloride, Value: 2000, Unit: water.MgPerL, Method: water.MethodLaboratory},
	}}
	if err := add(0, record.WaterTest{Test: odd}); err == nil {
		t.Error("a salt water that conducts like a distilled one was taken")
	}
	if records.Count() != before {
		t.Errorf("%d records were written all the same", records.Count()-before)
	}
}
