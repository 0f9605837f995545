package record

import "slices"

// Grinder grinds for one or more machines of its place.
type Grinder struct {
	Setting    Setting  `json:"setting"`
	Drive      Drive    `json:"drive"`
	Geometry   Geometry `json:"burr_geometry"`
	DiameterMM float64  `json:"burr_diameter_mm"`
	Serves     []string `json:"serves"` // ids of machines; each shot of theirs is ground here, or by another that serves them too
	// What follows may be left out.
	Material        BurrMaterial `json:"burr_material,omitempty"`     // steel where left out
	Coated          bool         `json:"burr_coated,omitempty"`       // a hard coating, such as titanium nitride
	Roast           Roast        `json:"roast,omitempty"`             // what is mostly ground; medium where left out
	SecondsPerClick float64      `json:"seconds_per_click,omitempty"` // how much longer a shot takes for each click finer; 0 where unknown
	FinerIsHigher   bool         `json:"finer_is_higher,omitempty"`   // the scale of the setting counts up towards fine
	Has             []Fitting    `json:"has,omitempty"`               // parts it has beside those that such grinders have
	Lacks           []Fitting    `json:"lacks,omitempty"`             // parts it lacks that such grinders have
}

// BurrMaterial is what burrs are made of.
type BurrMaterial string

// Materials of burrs.
const (
	SteelBurrs   BurrMaterial = "steel"
	CeramicBurrs BurrMaterial = "ceramic"
)

// Choices lists the materials.
func (BurrMaterial) Choices() []string { return []string{string(SteelBurrs), string(CeramicBurrs)} }

// Roast tells how dark the beans are that a grinder mostly grinds: light ones
// are harder.
type Roast string

// Roasts.
const (
	LightRoast  Roast = "light"
	MediumRoast Roast = "medium"
	DarkRoast   Roast = "dark"
)

// Choices lists the roasts.
func (Roast) Choices() []string {
	return []string{string(LightRoast), string(MediumRoast), string(DarkRoast)}
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
	return AllOf(
		choice("setting", string(g.Setting), g.Setting.Choices()),
		choice("drive", string(g.Drive), g.Drive.Choices()),
		choice("burr_geometry", string(g.Geometry), g.Geometry.Choices()),
		between("burr_diameter_mm", g.DiameterMM, 20, 150, "mm"),
		refuse(len(g.Serves) == 0, "serves", "", "the ids of the machines it grinds for"),
		eachWord("serves", g.Serves, func(name, id string, before []string) error { // its coffee would count twice
			return refuse(slices.Contains(before, id), name, id, "each machine once")
		}),
		optionalChoice("burr_material", string(g.Material), g.Material.Choices()),
		optionalChoice("roast", string(g.Roast), g.Roast.Choices()),
		optional("seconds_per_click", g.SecondsPerClick, 0.1, 30, "s"),
		validateFittings(g.Has, g.Lacks, GrinderFittings()),
	)
}
