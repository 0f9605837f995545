package record

// Vessel is a part of a machine that holds or carries hot water.
type Vessel struct {
	ID         string     `json:"id"`
	Kind       VesselKind `json:"kind"`
	Material   Material   `json:"material,omitempty"`   // empty where the owner does not know
	Litres     float64    `json:"litres,omitempty"`     // volume; 0 where the owner does not know
	Watts      float64    `json:"watts,omitempty"`      // of its heater; 0 where unknown
	Celsius    float64    `json:"celsius,omitempty"`    // of the water; 0 where GaugeBar is given or neither is known
	GaugeBar   float64    `json:"gauge_bar,omitempty"`  // steam pressure above the room's; 0 where Celsius is given
	OrificeMM  float64    `json:"orifice_mm,omitempty"` // smallest bore on its way to the cup; 0 where unknown
	NoDescaler string     `json:"no_descaler,omitempty"`

	Descaled DescalingWay `json:"descaled,omitempty"` // as its maker foresees it; empty where the owner does not know
}

// DescalingWay tells how acid gets into a vessel and its gas out.
type DescalingWay string

// Ways to descale a vessel.
const (
	Opened        DescalingWay = "opened"         // in place: it opens to the air by a valve
	PumpedThrough DescalingWay = "pumped through" // it has no opening, and the maker foresees to circulate the acid
	AtWorkshop    DescalingWay = "by a workshop"
)

// Choices lists the ways.
func (DescalingWay) Choices() []string {
	return []string{string(Opened), string(PumpedThrough), string(AtWorkshop)}
}

// Descaling returns how a vessel is descaled. Where the owner does not know, a steam
// boiler opens to the air by its valve and a thermoblock is pumped through, as most
// makers foresee it (assumption); a sealed brew boiler and a heat exchanger, which
// have no opening, are work for a workshop, and so is whatever must not meet acid.
func (v Vessel) Descaling() DescalingWay {
	switch {
	case v.Material == Aluminium || v.NoDescaler != "":
		return AtWorkshop
	case v.Descaled != "":
		return v.Descaled
	case v.Kind == SteamBoiler:
		return Opened
	case v.Kind == Thermoblock:
		return PumpedThrough
	}
	return AtWorkshop
}

// VesselKind tells how a vessel heats and what its water does.
type VesselKind string

// Kinds of vessel.
const (
	BrewBoiler    VesselKind = "brew boiler"
	SteamBoiler   VesselKind = "steam boiler"
	HeatExchanger VesselKind = "heat exchanger"
	Thermoblock   VesselKind = "thermoblock"
)

// Choices lists the kinds.
func (VesselKind) Choices() []string {
	return []string{string(BrewBoiler), string(SteamBoiler), string(HeatExchanger), string(Thermoblock)}
}

// Material is what a vessel or a seal is made of.
type Material string

// Materials of vessels and of seals.
const (
	Stainless Material = "stainless steel"
	Copper    Material = "copper"
	Brass     Material = "brass"
	Aluminium Material = "aluminium"

	Nitrile  Material = "nitrile rubber"
	EPDM     Material = "EPDM"
	Silicone Material = "silicone"
)

// VesselMaterials lists what a vessel can be made of.
func VesselMaterials() []string {
	return []string{string(Stainless), string(Copper), string(Brass), string(Aluminium)}
}

// SealMaterials lists what a group gasket can be made of.
func SealMaterials() []string {
	return []string{string(Nitrile), string(EPDM), string(Silicone)}
}

// Validate checks the figures; a litre size, heater or bore that is not known
// may be left out.
func (v Vessel) Validate() error {
	return AllOf(
		identifier("id", v.ID),
		choice("kind", string(v.Kind), v.Kind.Choices()),
		optionalChoice("material", string(v.Material), VesselMaterials()), // "" where unknown
		refuse(v.Celsius != 0 && v.GaugeBar != 0, "gauge_bar", "a second figure", "either celsius or gauge_bar, not both"),
		optional("litres", v.Litres, 0.01, 40, "litres"),
		optional("watts", v.Watts, 100, 12000, "W"),
		optional("celsius", v.Celsius, 60, 140, "°C"),
		optional("gauge_bar", v.GaugeBar, 0.1, 2.5, "bar"),
		optional("orifice_mm", v.OrificeMM, 0.2, 10, "mm"),
		text("no_descaler", v.NoDescaler, 300),
		optionalChoice("descaled", string(v.Descaled), v.Descaled.Choices()),
		refuse(v.Descaled == Opened && (v.Kind == HeatExchanger || v.Kind == Thermoblock), "descaled", string(v.Descaled),
			"pumped through or by a workshop: a "+string(v.Kind)+" has no opening to the air"),
	)
}
