package record

import (
	"fmt"
	"slices"
)

// Grinder grinds for one or more machines of its place.
type Grinder struct {
	Setting    Setting  `json:"setting"`
	Drive      Drive    `json:"drive"`
	Geometry   Geometry `json:"burr_geometry"`
	DiameterMM float64  `json:"burr_diameter_mm"`
	Serves     []string `json:"serves"` // ids of machines; each shot of theirs is ground here
}

// Drive tells what turns the burrs.
type Drive string

// What turns the burrs.
const (
	HandDriven  Drive = "hand"
	MotorDriven Drive = "motor"
)

// Choices lists the drives.
func (Drive) Choices() []string { return []string{string(HandDriven), string(MotorDriven)} }

// Geometry tells flat burrs from conical ones.
type Geometry string

// Burr geometries.
const (
	FlatBurrs    Geometry = "flat"
	ConicalBurrs Geometry = "conical"
)

// Choices lists the geometries.
func (Geometry) Choices() []string { return []string{string(FlatBurrs), string(ConicalBurrs)} }

// Validate checks the grinder by itself.
func (g Grinder) Validate() error {
	if err := choice("setting", string(g.Setting), g.Setting.Choices()); err != nil {
		return err
	}
	if err := choice("drive", string(g.Drive), g.Drive.Choices()); err != nil {
		return err
	}
	if err := choice("burr_geometry", string(g.Geometry), g.Geometry.Choices()); err != nil {
		return err
	}
	if err := between("burr_diameter_mm", g.DiameterMM, 20, 150, "mm"); err != nil {
		return err
	}
	if len(g.Serves) == 0 {
		return &FieldError{Field: "serves", Want: "the ids of the machines it grinds for"}
	}
	for i, id := range g.Serves {
		if slices.Contains(g.Serves[:i], id) { // its coffee would count twice
			return &FieldError{Field: fmt.Sprintf("serves[%d]", i), Value: id, Want: "each machine once"}
		}
	}
	return nil
}
