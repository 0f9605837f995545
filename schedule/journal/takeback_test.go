package journal_test

import (
	"context"
	"slices"
	"testing"

	"limekeep/schedule/record"
	"limekeep/schedule/sample"
	"limekeep/water"
)

// What history says may be taken back is what a void is taken of, for every kind
// of record there is. A record that voids another, or is void, is left to the
// store to refuse (store/append_test.go).
func TestMayBeVoidedIsWhatVoidTakes(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	one := 1.0
	for _, body := range []record.Body{
		record.Retired{Equipment: "gone"}, record.OwnCare{}, record.Publication{At: noon},
		record.WaterTest{Line: "tap", Test: water.Test{Values: []water.Measured{{Quantity: water.Hardness, Value: 18, Unit: water.GermanDegree, Method: water.MethodDrop}}}},
		record.Service{Task: "bench/group-gasket/group"}, record.UseBatch{Machine: "bench", From: today, To: today},
		record.Measurement{Kind: record.PumpPressure, Equipment: "bench", Bar: 9},
		record.Away{From: today - 3, To: today - 2}, record.Guests{From: today, To: today, Shots: 2},
		record.MeterReading{Line: "tap", Litres: 5}, record.Bag{Grinder: "grinder", Grams: 250},
		record.Pin{Task: "bench/group-gasket/group", Free: true}, record.Blocked{From: today, To: today}, record.Stock{Item: "detergent", Count: &one},
	} {
		if _, err := records.Append(ctx, record.Entry{Place: "home", Effective: today, Entered: noon, Source: "test", Body: body}); err != nil {
			t.Fatalf("%T: %v", body, err)
		}
	}
	lines, err := d.Day(t, at).History(ctx)
	if err != nil {
		t.Fatal(err)
	}
	var seen []record.Kind
	for _, l := range lines {
		seen = append(seen, l.Kind)
		_, err := d.Journal.Void(ctx, d.Day(t, at), l.Record, "")
		if l.MayBeVoided() != (err == nil) {
			t.Errorf("a %s record may be taken back: %v, but the answer is %v", l.Kind, l.MayBeVoided(), err)
		}
	}
	for _, kind := range []record.Kind{record.KindPlace, record.KindEquipment, record.KindPin, record.KindUse} {
		if !slices.Contains(seen, kind) {
			t.Errorf("no %s record was tried", kind)
		}
	}
	if lines, err = d.Day(t, at).History(ctx); err != nil {
		t.Fatal(err)
	}
	for _, l := range lines {
		if (l.Voided != 0 || l.Kind == record.KindVoid) && l.MayBeVoided() {
			t.Errorf("record %d, a %s, is void or makes void and may be taken back again", l.Record, l.Kind)
		}
	}
}
