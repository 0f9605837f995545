package record_test

import (
	"testing"

	"limekeep/schedule/record"
)

func TestHotHoursAreKept(t *testing.T) {
	want := record.HotHours{Machine: "machine", Hours: 3.25}
	_, data, err := record.Encode(want)
	if err != nil {
		t.Fatal(err)
	}
	got, err := record.Decode(record.KindHotHours, data)
	if err != nil || got != record.Body(want) {
		t.Errorf("%+v became %+v, %v", want, got, err)
	}
	for _, wrong := range []record.HotHours{{Machine: "machine", Hours: 24.5}, {Machine: "machine", Hours: -1}, {Hours: 3}} {
		if wrong.Validate() == nil {
			t.Errorf("%+v was found good", wrong)
		}
	}
}
