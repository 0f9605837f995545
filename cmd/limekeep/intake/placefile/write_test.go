package placefile

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"limekeep/schedule/sample"
)

// What is written reads back to the same, also where names are hostile.
func TestWriteReadsBack(t *testing.T) {
	for i, base := range bases {
		setup, err := Read(strings.NewReader(base))
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"Kitchen", "no: #1", "- [a]", "\"'", "é 日本 *x &y !z", "true", "12", "2026-01-01", "null", "~"} {
			setup.Place.Name = name
			written, err := Write(setup, []string{"this: and # that"})
			if err != nil {
				t.Fatal(err)
			}
			again, err := Read(bytes.NewReader(written))
			setup.Assumed, again.Assumed = nil, nil // once written it is said
			if err != nil || !reflect.DeepEqual(setup, again) {
				t.Fatalf("base %d, %q: %v\n%+v\n%+v\n%s", i, name, err, setup, again, written)
			}
			if !strings.Contains(string(written), "zone: ") || strings.Count(string(written), "#") < 5 {
				t.Errorf("without comments:\n%s", written)
			}
		}
	}
	for _, setup := range []struct{ name string }{{"home"}, {"lever"}} {
		s := sample.Home()
		if setup.name == "lever" {
			s = sample.Lever()
		}
		written, err := Write(s, nil)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Read(bytes.NewReader(written))
		if err != nil || again.Equipment[0].ID != s.Equipment[0].ID {
			t.Errorf("%s: %v\n%s", setup.name, err, written)
		}
	}
}
