package journal_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

func TestAddUseSpreadsEvenly(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	from, to := today-9, today
	written, err := d.Journal.AddUse(ctx, d.Day(t, at), journal.UseEntry{Machine: "bench", From: from, To: to, Sum: record.UseRow{Shots: 45, DoseGrams: 17, Steamed: 15, HotWaterLitres: 3}, Note: "a guess"})
	if err != nil {
		t.Fatal(err)
	}
	if written.On != from || written.What != "use of bench" {
		t.Errorf("said %+v", written)
	}
	batch := records.Of(record.KindUse)[0]
	if got, want := batch.Body, (record.UseBatch{Machine: "bench", From: from, To: to, Rows: 10, Note: "a guess"}); got != want || batch.Effective != from {
		t.Errorf("kept %+v from %s, want %+v", got, batch.Effective, want)
	}
	rows := records.Rows[written.Record]
	var shots, steamed, hotWater float64
	for i, r := range rows {
		if r.Date != from+record.Date(i) || r.Minute != -1 || r.DoseGrams != 17 {
			t.Errorf("row %d: %+v", i, r)
		}
		shots += r.Shots
		steamed += r.Steamed
		hotWater += r.HotWaterLitres
	}
	if len(rows) != 10 || math.Abs(shots-45) > 1e-9 || math.Abs(steamed-15) > 1e-9 || math.Abs(hotWater-3) > 1e-9 {
		t.Errorf("%d rows of %v shots, %v steamed, %v litres", len(rows), shots, steamed, hotWater)
	}

	// Who writes two entries for one day means both, also after a void.
	for range 2 {
		if _, err := d.Journal.AddUse(ctx, d.Day(t, at), journal.UseEntry{Machine: "", From: today, To: 0, Sum: record.UseRow{Shots: 2}, Note: ""}); err != nil {
			t.Fatal(err)
		}
	}
	last := records.Of(record.KindUse)
	if _, err := d.Journal.Void(ctx, d.Day(t, at), last[len(last)-1].ID, "twice"); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Journal.AddUse(ctx, d.Day(t, at), journal.UseEntry{Machine: "", From: today, To: 0, Sum: record.UseRow{Shots: 1}, Note: ""}); err != nil {
		t.Fatal(err)
	}
	book, err := records.Read(ctx, "home", today)
	if err != nil {
		t.Fatal(err)
	}
	shots = 0
	for _, day := range book.DaysOf("bench") {
		if day.Date == today {
			shots += day.Shots
		}
	}
	if math.Abs(shots-(4.5+2+1)) > 1e-9 {
		t.Errorf("today has %v shots, want the day's 4.5, and 2 and 1 that were not voided", shots)
	}
}

func TestAddUseRefuses(t *testing.T) {
	some := record.UseRow{Shots: 4}
	tests := []struct {
		name     string
		from, to record.Date
		sum      record.UseRow
		field    string
	}{
		{"tomorrow", today + 1, 0, some, "date"},
		{"until tomorrow", today, today + 1, some, "date"},
		{"before it was bought", bought - 1, today, some, "date"},
		{"it ends before it begins", today, today - 1, some, "to"},
		{"less than nothing", today, 0, record.UseRow{Shots: -1}, "shots"},
		{"no number", today, 0, record.UseRow{Shots: math.NaN()}, "shots"},
		{"more steamed than made", today, 0, record.UseRow{Shots: 1, Steamed: 2}, "steamed"},
		{"more than a day can hold", today, 0, record.UseRow{Shots: 3001}, "shots"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, records := sample.SetUp(t, sample.Home())
			before := records.Count()
			_, err := d.Journal.AddUse(context.Background(), d.Day(t, at), journal.UseEntry{Machine: "", From: test.from, To: test.to, Sum: test.sum, Note: ""})
			sample.Refused(t, err, test.field, records, before)
		})
	}
	d, _ := sample.SetUp(t, sample.Home())
	if _, err := d.Journal.AddUse(context.Background(), d.Day(t, at), journal.UseEntry{Machine: "tap", From: today, To: 0, Sum: some, Note: ""}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("use of a tap: %v", err)
	}
}
