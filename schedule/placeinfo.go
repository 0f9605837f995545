package schedule

import (
	"context"
	"time"

	"limekeep/schedule/record"
)

// PlaceInfo is what a door has to know of a place itself before it can show or
// ask for anything: what it is called, which clock hangs there, what stands
// there, and where its water can be tested.
type PlaceInfo struct {
	Place string         `json:"place"` // id
	Name  string         `json:"name"`  // for people; the id where no name was given
	Zone  *time.Location `json:"-"`     // of the place
	Today record.Date    `json:"today"` // the day the answer is about, in that zone
	Lines []LineInfo     `json:"lines"` // by id

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

// PlaceInfo tells about the place of a moment. Where the moment leaves place or
// day open, the answer says which were taken. Errors are those of every answer:
// ErrNoPlace, a *record.FieldError where there is more than one place, one that
// matches record.ErrUnknown.
func (d *Desk) PlaceInfo(ctx context.Context, m Moment) (PlaceInfo, error) {
	book, place, m, err := d.open(ctx, m)
	if err != nil {
		return PlaceInfo{}, err
	}
	zone, err := place.Location()
	if err != nil {
		return PlaceInfo{}, err
	}
	info := PlaceInfo{Place: place.ID, Name: place.Name, Zone: zone, Today: m.Today, Lines: []LineInfo{}, Equipment: []EquipmentInfo{}}
	if info.Name == "" {
		info.Name = place.ID
	}
	for _, e := range book.Equipment() {
		info.Equipment = append(info.Equipment, EquipmentInfo{Equipment: e.ID, Name: e.Title()})
		if e.Line != nil {
			info.Lines = append(info.Lines, LineInfo{Line: e.ID, Name: e.Title(), Supply: e.Line.Supply, Treatment: e.Line.Treatment})
		}
	}
	return info, nil
}
