package record

// Group is where a portafilter locks in.
type Group struct {
	ID            string   `json:"id"`
	ThreeWayValve bool     `json:"three_way_valve"` // lets the pressure out after the shot; without one there is no backflush
	Lever         bool     `json:"lever,omitempty"` // a piston driven by hand or spring
	Gasket        Material `json:"gasket,omitempty"`
	SealCelsius   float64  `json:"seal_celsius,omitempty"` // at the gasket while hot; 0 where unknown
}

// Validate checks the group.
func (g Group) Validate() error {
	if err := identifier("id", g.ID); err != nil {
		return err
	}
	if g.Gasket != "" {
		if err := choice("gasket", string(g.Gasket), SealMaterials()); err != nil {
			return err
		}
	}
	if g.SealCelsius != 0 {
		return between("seal_celsius", g.SealCelsius, 50, 130, "°C")
	}
	return nil
}
