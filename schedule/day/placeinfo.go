package day

import (
	"cmp"
	"slices"
	"time"

	"limekeep/schedule/record"
	"limekeep/water"
)

// PlaceInfo is what a door has to know of a place itself before it can show or
// ask for anything: what it is called, which clock hangs there, what stands
// there, and where its water can be tested.
type PlaceInfo struct {
	Place    string         `json:"place"`                    // id
	Name     string         `json:"name"`                     // for people; the id where no name was given
	Group    string         `json:"group,omitempty"`          // the chain or the customer that it belongs to; empty for none
	Address  string         `json:"address,omitempty"`        // where it is; empty where nobody said
	District string         `json:"water_district,omitempty"` // whose tests count for it; empty for none
	Hardness water.Unit     `json:"hardness_unit,omitempty"`  // in what its owner has hardness told; mg/L as CaCO3 where empty
	Zone     *time.Location `json:"-"`                        // of the place
	Units    record.Units   `json:"units,omitempty"`          // in what its owner has volumes and temperatures told; litres and °C where empty
	Today    record.Date    `json:"today"`                    // the day the answer is about, in that zone
	Lines    []LineInfo     `json:"lines"`                    // by id

	Equipment []EquipmentInfo `json:"equipment"` // all that is in use, lines and tools included, by id
}

// EquipmentInfo is a piece of equipment as doors name it.
type EquipmentInfo struct {
	Equipment string `json:"equipment"` // id
	Name      string `json:"name"`      // for people; the id where no name was given
}

// LineInfo is a water line with the stages behind which a sample can be taken.
type LineInfo struct {
	Line      string             `json:"line"` // id
	Name      string             `json:"name"` // for people; the id where no name was given
	Supply    record.Supply      `json:"supply"`
	Treatment []record.Treatment `json:"treatment"` // in the order the water meets it
}

// TellingName returns what people call a piece of equipment, where the place has several
// of its kind; empty where it has one, which the title of a task tells enough.
func (d *Day) TellingName(equipment string) string {
	i := slices.IndexFunc(d.Book.Equipment(), func(e record.Equipment) bool { return e.ID == equipment })
	if i < 0 {
		return ""
	}
	it := d.Book.Equipment()[i]
	if !slices.ContainsFunc(d.Book.Equipment(), func(e record.Equipment) bool { return e.ID != equipment && e.SameKind(it) }) {
		return ""
	}
	return it.Title()
}

// Info tells about the place.
func (d *Day) Info() PlaceInfo {
	info := PlaceInfo{Place: d.Place.ID, Name: cmp.Or(d.Place.Name, d.Place.ID), Group: d.Place.Group, Address: d.Place.Address, District: d.Place.District, Units: d.Place.Units, Hardness: d.Place.HardnessUnit, Zone: d.Zone, Today: d.Today, Lines: []LineInfo{}, Equipment: []EquipmentInfo{}}
	for _, e := range d.Book.Equipment() {
		info.Equipment = append(info.Equipment, EquipmentInfo{Equipment: e.ID, Name: e.Title()})
		if e.Line != nil {
			info.Lines = append(info.Lines, LineInfo{Line: e.ID, Name: e.Title(), Supply: e.Line.Supply, Treatment: e.Line.Treatment})
		}
	}
	return info
}
