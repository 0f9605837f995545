package record_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
	"limekeep/schedule/sample/bound"
)

// bodies returns one valid body of each kind, and the name it is kept under. The
// names stand in files of years ago: they must never change.
func bodies() map[record.Kind]record.Body {
	return map[record.Kind]record.Body{
		"place":       goodPlace(),
		"equipment":   goodEquipment(),
		"retired":     record.Retired{Equipment: "machine"},
		"water test":  goodWaterTest(),
		"use":         goodBatch(),
		"service":     goodService(),
		"void":        record.Void{Record: 7, Why: "a slip of the pen"},
		"publication": goodPublication(),

		"measurement":   goodMeasurement(),
		"own care":      goodOwnCare(),
		"away":          goodAway(),
		"guests":        goodGuests(),
		"meter reading": goodMeterReading(),
		"bag":           goodBag(),
	}
}

func TestEncodeDecode(t *testing.T) {
	for name, body := range bodies() {
		t.Run(string(name), func(t *testing.T) {
			if err := body.Validate(); err != nil {
				t.Fatal(err)
			}
			kind, data, err := record.Encode(body)
			if err != nil {
				t.Fatal(err)
			}
			if kind != name || (record.Entry{Body: body}).Kind() != name {
				t.Errorf("kept as %q, and called %q, want %q", kind, record.Entry{Body: body}.Kind(), name)
			}
			back, err := record.Decode(kind, data)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(body, back); diff != "" {
				t.Errorf("it came back changed (-kept +read):\n%s", diff)
			}
		})
	}
}

// The other kinds of equipment have bodies of their own.
func TestEncodeDecodeEquipment(t *testing.T) {
	grinder, line, machine := goodGrinder(), goodLine(), fullMachine()
	for _, body := range []record.Equipment{
		{ID: "grinder", Bought: 1, Grinder: &grinder},
		{ID: "tap", Name: "咖啡 ☕ \"quoted\" \\ </script>", Bought: 1, Line: &line},
		{ID: "machine", Bought: 1, Machine: &machine},
		{ID: "bench", Bought: 1, Tools: &record.Tools{Setting: record.Bar, Have: []record.Tool{record.Tamper}}},
	} {
		kind, data, err := record.Encode(body)
		if err != nil {
			t.Fatal(err)
		}
		back, err := record.Decode(kind, data)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(record.Body(body), back); diff != "" {
			t.Errorf("it came back changed (-kept +read):\n%s", diff)
		}
	}
}

func TestDecodeRefuses(t *testing.T) {
	if body, err := record.Decode("horoscope", []byte(`{}`)); body != nil || !errors.Is(err, record.ErrUnknown) {
		t.Errorf("a kind of a later version: %v, %v", body, err)
	}
	for kind := range bodies() {
		for _, data := range []string{"", "{", "[]", `"text"`, "\xff"} {
			body, err := record.Decode(kind, []byte(data))
			if err == nil || body != nil {
				t.Errorf("%s from %q: %v", kind, data, body)
				continue
			}
			if !strings.Contains(err.Error(), string(kind)) {
				t.Errorf("%s from %q: the error does not name the kind: %v", kind, data, err)
			}
		}
	}
	if _, err := record.Decode(record.KindUse, []byte(`{"machine":"m","from":"yesterday"}`)); err == nil {
		t.Error("a day that is none was read")
	}
}

// What can be read and is valid can be written and read again unchanged.
func FuzzDecode(f *testing.F) {
	for kind, body := range bodies() {
		_, data, err := record.Encode(body)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(kind), data)
	}
	f.Add("place", []byte(`null`))
	f.Add("equipment", []byte(`{"id":"a","bought":"2020-01-01","grinder":{"setting":"home","drive":"hand","burr_geometry":"flat","burr_diameter_mm":1e999}}`))
	f.Add("equipment", []byte(`{"id":"a","bought":"2020-01-01","water_line":{"supply":"mains","treatment":[{"id":"c","kind":"carbon"}]}}`))
	f.Add("service", []byte(`{"task":"a/b","left":0.5,"left":0.9}`))
	f.Add("publication", []byte(`{"at":"2026-03-02T06:00:00+23:59","entries":[{"start":"0000-01-01T00:00:00Z"}]}`))
	f.Fuzz(func(t *testing.T, kind string, data []byte) {
		defer bound.Memory(t)()
		body, err := record.Decode(record.Kind(kind), data)
		if err != nil {
			return
		}
		if string(record.Entry{Body: body}.Kind()) != kind {
			t.Fatalf("%q was read as a %T", kind, body)
		}
		if body.Validate() != nil {
			return
		}
		again, written, err := record.Encode(body)
		if err != nil {
			t.Fatalf("%#v is valid and cannot be written: %v", body, err)
		}
		back, err := record.Decode(again, written)
		if err != nil {
			t.Fatalf("%s was written and cannot be read: %v", written, err)
		}
		_, rewritten, err := record.Encode(back)
		if err != nil || string(rewritten) != string(written) {
			t.Fatalf("written as %s, then as %s, %v", written, rewritten, err)
		}
	})
}
