package record

import (
	"fmt"
	"slices"
)

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
}

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

// Exchanges tells whether the stage takes hardness out and so uses up by
// equivalents, not by litres alone.
func (k TreatmentKind) Exchanges() bool { return k == Softener || k == Decarboniser || k == Mixed }

// Validate checks the line and each stage.
func (l WaterLine) Validate() error {
	if err := choice("supply", string(l.Supply), l.Supply.Choices()); err != nil {
		return err
	}
	var ids []string
	for i, t := range l.Treatment {
		if err := t.Validate(); err != nil {
			return within(fmt.Sprintf("treatment[%d]", i), err)
		}
		if slices.Contains(ids, t.ID) {
			return within(fmt.Sprintf("treatment[%d]", i), &FieldError{Field: "id", Value: t.ID, Want: "an id that no other stage has"})
		}
		ids = append(ids, t.ID)
	}
	return validateFittings(l.Has, l.Lacks, LineFittings())
}

// Validate checks one stage. An exchanger must have its capacity, since nothing
// else can say when it is used up.
func (t Treatment) Validate() error {
	if err := identifier("id", t.ID); err != nil {
		return err
	}
	if err := choice("kind", string(t.Kind), t.Kind.Choices()); err != nil {
		return err
	}
	if t.Kind.Exchanges() || t.RatedLitres != 0 {
		if err := between("rated_litres", t.RatedLitres, 1, 1e6, "litres, from the maker's table"); err != nil {
			return err
		}
	}
	if t.Kind.Exchanges() || t.RatedDegrees != 0 {
		if err := between("rated_hardness_dh", t.RatedDegrees, 1, 50, "German degrees, the hardness that the maker's litres are stated for"); err != nil {
			return err
		}
	}
	if err := between("bypass_share", t.BypassShare, 0, 0.9, "(a share of the water)"); err != nil {
		return err
	}
	if t.Kind == Mixed || t.Hydrogen != 0 {
		if err := between("hydrogen_share", t.Hydrogen, 0.01, 0.99, "(the share of a mixed exchanger that is on hydrogen)"); err != nil {
			return err
		}
	}
	if t.Months != 0 {
		return between("months", t.Months, 1, 120, "months")
	}
	return nil
}
