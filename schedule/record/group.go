package record

// Group is where a portafilter locks in.
type Group struct {
	ID            string   `json:"id"`
	ThreeWayValve bool     `json:"three_way_valve"`  // lets the pressure out after the shot; without one there is no backflush
	Lever         bool     `json:"lever,omitempty"`  // a piston driven by hand or spring
	Spring        bool     `json:"spring,omitempty"` // of a lever: a spring drives the piston
	Cam           bool     `json:"cam,omitempty"`    // a small lever turns a cam that opens the group's valves; a pump drives the water
	Gasket        Material `json:"gasket,omitempty"`
	SealCelsius   float64  `json:"seal_celsius,omitempty"` // at the gasket while hot; 0 where unknown
}

// Validate checks the group.
func (g Group) Validate() error {
	return AllOf(
		identifier("id", g.ID),
		refuse(g.Spring && !g.Lever, "spring", true, "true only where lever is true as well"),
		refuse(g.Cam && g.Lever, "cam", true, "either lever or cam: a lever drives a piston, a cam opens valves for a pump"),
		optionalChoice("gasket", string(g.Gasket), SealMaterials()),
		optional("seal_celsius", g.SealCelsius, 50, 130, "°C"),
	)
}
