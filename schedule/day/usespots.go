package day

// UseSpots is where use can be written down: machines that draw, grinders whose
// bags are counted, lines that may have a meter.
type UseSpots struct {
	Machines []EquipmentInfo `json:"machines"` // by id, as all three
	Grinders []EquipmentInfo `json:"grinders"`
	Lines    []EquipmentInfo `json:"lines"`
}

// UseSpots lists where use can be written down at the place.
func (d *Day) UseSpots() UseSpots {
	s := UseSpots{Machines: []EquipmentInfo{}, Grinders: []EquipmentInfo{}, Lines: []EquipmentInfo{}}
	for _, e := range d.Book.Equipment() {
		info := EquipmentInfo{Equipment: e.ID, Name: e.Title()}
		switch {
		case e.Machine != nil:
			s.Machines = append(s.Machines, info)
		case e.Grinder != nil:
			s.Grinders = append(s.Grinders, info)
		case e.Line != nil:
			s.Lines = append(s.Lines, info)
		}
	}
	return s
}
