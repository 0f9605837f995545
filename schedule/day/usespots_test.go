package day_test

import (
	"testing"

	"limekeep/schedule/day"
	"limekeep/schedule/sample"
)

func TestUseSpots(t *testing.T) {
	d, _ := sample.SetUp(t, withScale())
	s := d.Day(t, at).UseSpots()
	for _, c := range []struct {
		what string
		got  []day.EquipmentInfo
		want day.EquipmentInfo
	}{
		{"machines", s.Machines, day.EquipmentInfo{Equipment: "bench", Name: "Machine on the bench"}},
		{"grinders", s.Grinders, day.EquipmentInfo{Equipment: "grinder", Name: "grinder"}},
		{"lines", s.Lines, day.EquipmentInfo{Equipment: "tap", Name: "Kitchen tap"}},
	} {
		if len(c.got) != 1 || c.got[0] != c.want {
			t.Errorf("%s are %v, not %v alone", c.what, c.got, c.want)
		}
	}
}
