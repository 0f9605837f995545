package day

import (
	"testing"

	"limekeep/schedule/record"
)

// What was left of a crust stays until less is found or work leaves nothing.
func TestLastCrust(t *testing.T) {
	crust := record.Service{Finding: record.Crust, Left: 0.5}
	for _, c := range []struct {
		name     string
		services []record.Service
		on       record.Date
	}{
		{"none", nil, 0},
		{"nothing found", []record.Service{{Finding: record.Film}}, 0},
		{"a crust", []record.Service{{Finding: record.Film}, crust}, 2},
		{"some taken out later, nobody said what it was", []record.Service{crust, {Left: 0.2}}, 1},
		{"all taken out later", []record.Service{crust, {}}, 0},
		{"less found later", []record.Service{crust, {Finding: record.Film, Left: 0.2}}, 0},
	} {
		var services []record.Dated[record.Service]
		for i, s := range c.services {
			services = append(services, record.Dated[record.Service]{On: record.Date(i + 1), Body: s})
		}
		got, ok := LastCrust(services)
		if ok != (c.on != 0) || got.On != c.on {
			t.Errorf("%s: %v of day %d, want day %d", c.name, ok, got.On, c.on)
		}
	}
}
