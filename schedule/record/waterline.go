package record

import "slices"

// WaterLine is what stands between the supply and the machines it feeds.
type WaterLine struct {
	Supply    Supply      `json:"supply"`
	Treatment []Treatment `json:"treatment,omitempty"` // in the order the water meets it
	Has       []Fitting   `json:"has,omitempty"`       // parts it has beside those that such lines have
	Lacks     []Fitting   `json:"lacks,omitempty"`     // parts it lacks that such lines have
}

// Supply tells where the water comes from.
type Supply string

// Supplies.
const (
	Mains Supply = "mains"
	Tank  Supply = "tank"
)

// Choices lists the supplies.
func (Supply) Choices() []string { return []string{string(Mains), string(Tank)} }

// Treatment is one stage of a water line. A cartridge is fitted on a date: the
// one given here first, later each time the cartridge is changed.
type Treatment struct {
	ID           string        `json:"id"`
	Kind         TreatmentKind `json:"kind"`
	Fitted       Date          `json:"fitted,omitempty"`            // first cartridge; the line's own date where left out
	RatedLitres  float64       `json:"rated_litres,omitempty"`      // what the maker says one cartridge treats
	RatedDegrees float64       `json:"rated_hardness_dh,omitempty"` // at this hardness, German degrees: carbonate hardness for a decarboniser, total for a softener
	BypassShare  float64       `json:"bypass_share,omitempty"`      // share of the water that goes round it, or of raw water blended in behind a membrane, 0 to 0.9
	Hydrogen     float64       `json:"hydrogen_share,omitempty"`    // of a mixed exchanger: share on hydrogen, the rest on sodium
	Months       float64       `json:"months,omitempty"`            // the maker's age limit
	Regenerated  Regenerated   `json:"regenerated,omitempty"`       // of a resin softener that stays and is made fresh with salt; empty for a cartridge
	Before       Before        `json:"before,omitempty"`            // what stood in its place before Fitted; unknown where left out
}

// Regenerated tells how the resin of a softener is made fresh with salt.
type Regenerated string

// Ways to regenerate.
const (
	ByHand   Regenerated = "by hand"   // salt is filled in and rinsed out each time
	ByItself Regenerated = "by itself" // by a valve, out of a stock of salt
)

// Choices lists the ways.
func (Regenerated) Choices() []string { return []string{string(ByHand), string(ByItself)} }

// Before tells what stood in the place of a cartridge before the first one that
// is written down.
type Before string

// What can have stood there.
const (
	NoneBefore Before = "none"     // the water came through as it was
	LikeBefore Before = "the like" // another of its kind, changed in time
)

// Choices lists what can have stood there.
func (Before) Choices() []string { return []string{string(NoneBefore), string(LikeBefore)} }

// TreatmentKind tells what a stage does to the water.
type TreatmentKind string

// Kinds of treatment.
const (
	Sediment     TreatmentKind = "sediment"
	Carbon       TreatmentKind = "carbon"
	Softener     TreatmentKind = "softener"     // cation exchange on sodium
	Decarboniser TreatmentKind = "decarboniser" // weak acid exchange on hydrogen
	Mixed        TreatmentKind = "mixed"        // partly on hydrogen, partly on sodium

	ReverseOsmosis TreatmentKind = "reverse osmosis" // with raw water blended back in
)

// Choices lists the kinds.
func (TreatmentKind) Choices() []string {
	return []string{string(Sediment), string(Carbon), string(Softener), string(Decarboniser), string(Mixed), string(ReverseOsmosis)}
}

// Exchanges reports whether the stage takes hardness out and so uses up by
// equivalents, not by litres alone.
func (k TreatmentKind) Exchanges() bool { return k == Softener || k == Decarboniser || k == Mixed }

// Validate checks the line and each stage.
func (l WaterLine) Validate() error {
	return AllOf(
		choice("supply", string(l.Supply), l.Supply.Choices()),
		each("treatment", l.Treatment, func(t Treatment, before []Treatment) error {
			taken := slices.ContainsFunc(before, func(other Treatment) bool { return other.ID == t.ID })
			return AllOf(t.Validate(), refuse(taken, "id", t.ID, "an id that no other stage has"))
		}),
		validateFittings(l.Has, l.Lacks, LineFittings()),
	)
}

// Validate checks one stage. An exchanger must have its capacity, since nothing
// else can say when it is used up.
func (t Treatment) Validate() error {
	exchanges := t.Kind.Exchanges()
	return AllOf(
		identifier("id", t.ID),
		choice("kind", string(t.Kind), t.Kind.Choices()),
		where(exchanges || t.RatedLitres != 0, between("rated_litres", t.RatedLitres, 1, 1e6, "litres, from the maker's table")),
		where(exchanges || t.RatedDegrees != 0, between("rated_hardness_dh", t.RatedDegrees, 1, 50,
			"German degrees, the hardness that the maker's litres are stated for")),
		between("bypass_share", t.BypassShare, 0, 0.9, "(a share of the water)"),
		where(t.Kind == Mixed || t.Hydrogen != 0, between("hydrogen_share", t.Hydrogen, 0.01, 0.99,
			"(the share of a mixed exchanger that is on hydrogen)")),
		optional("months", t.Months, 1, 120, "months"),
		optionalChoice("regenerated", string(t.Regenerated), t.Regenerated.Choices()),
		refuse(t.Regenerated != "" && t.Kind != Softener, "regenerated", string(t.Regenerated), "a softener: salt makes nothing else fresh"),
		optionalChoice("before", string(t.Before), t.Before.Choices()),
	)
}
