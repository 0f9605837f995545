package care

import (
	"slices"

	"limekeep/schedule/record"
)

// part is something a task can be bound to, with the words true of it.
type part struct {
	per   Per
	id    string
	name  string
	words []string
	since record.Date
	stage *record.Treatment
}

// Words that the catalogue may use of a part, beside the names of settings,
// kinds, materials, supplies, pumps ("rotary pump"), controls, drives,
// geometries, roasts ("light roast"), tools and fittings.
const (
	wordThreeWay    = "three-way valve"
	wordLever       = "lever"
	wordSpring      = "spring"
	wordCam         = "cam"
	wordPump        = "pump"
	wordExchanger   = "exchanger"
	wordRatedLitres = "rated litres"
	wordAgeLimit    = "age limit"
	wordCeramic     = "ceramic"
	wordCoated      = "coated"
	wordSmall       = "small burrs"
	wordLarge       = "large burrs"
	wordVeryLarge   = "very large burrs"
	wordBore        = "bore known" // the smallest on a vessel's way to the cup
	wordUnknownPast = "unknown past"
)

// Words lists all words that can be true of a part.
func Words() []string {
	words := []string{wordThreeWay, wordLever, wordSpring, wordCam, wordPump, wordExchanger, wordRatedLitres, wordAgeLimit,
		wordCeramic, wordCoated, wordSmall, wordLarge, wordVeryLarge, wordBore, wordUnknownPast}
	for _, pump := range record.NoPump.Choices() {
		words = append(words, pumpWord(record.Pump(pump)))
	}
	for _, roast := range record.MediumRoast.Choices() {
		words = append(words, roastWord(record.Roast(roast)))
	}
	for _, choices := range [][]string{
		record.Home.Choices(), record.BrewBoiler.Choices(), record.VesselMaterials(), record.SealMaterials(),
		record.HandDriven.Choices(), record.FlatBurrs.Choices(), record.Mains.Choices(), record.Carbon.Choices(),
		record.Thermostat.Choices(), record.Tamper.Choices(), record.Opened.Choices(),
	} {
		words = append(words, choices...)
	}
	for _, f := range slices.Concat(record.MachineFittings(), record.GrinderFittings(), record.LineFittings()) {
		words = append(words, string(f))
	}
	return words
}

func pumpWord(p record.Pump) string {
	if p == record.NoPump {
		return "no pump"
	}
	return string(p) + " pump"
}

func roastWord(r record.Roast) string { return string(r) + " roast" }

func (p part) fits(words []string) bool {
	return !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(p.words, w) })
}

// partsOf lists what tasks can be bound to, with the words true of each. All is
// the equipment of the place, among which a machine finds its water line.
func partsOf(e record.Equipment, all []record.Equipment) []part {
	switch {
	case e.Machine != nil:
		return machineParts(e, all)
	case e.Grinder != nil:
		return []part{{per: PerGrinder, words: grinderWords(e.Grinder), since: e.Bought}}
	case e.Line != nil:
		parts := []part{{per: PerLine, words: append([]string{string(e.Line.Supply)}, lineFittings(e.ID, e.Line, all)...), since: e.Bought}}
		for i := range e.Line.Treatment {
			parts = append(parts, cartridge(e, &e.Line.Treatment[i]))
		}
		return parts
	case e.Tools != nil:
		words := []string{string(e.Tools.Setting)}
		for _, tool := range e.Tools.Have {
			words = append(words, string(tool))
		}
		return []part{{per: PerTools, words: words, since: e.Bought}}
	}
	return nil
}

// machineParts lists a machine, its groups and its vessels. What is true of the
// machine is true of its groups and vessels as well, but not of one group what
// is true of another.
func machineParts(e record.Equipment, all []record.Equipment) []part {
	m := e.Machine
	shared := machineWords(m, supplyOf(m, all))
	whole := part{per: PerMachine, words: slices.Clone(shared), since: e.Bought}
	if pastUnknown(e) {
		whole.words = append(whole.words, wordUnknownPast)
	}
	var parts []part
	for _, g := range m.Groups {
		own := groupWords(g)
		whole.words = append(whole.words, own...)
		parts = append(parts, part{per: PerGroup, id: g.ID, name: g.ID, words: slices.Concat(shared, own), since: e.Bought})
	}
	for _, v := range m.Vessels {
		own := []string{string(v.Kind), string(v.Material), string(v.Descaling())}
		if v.OrificeMM > 0 {
			own = append(own, wordBore)
		}
		whole.words = append(whole.words, own...)
		parts = append(parts, part{per: PerVessel, id: v.ID, name: string(v.Kind), words: slices.Concat(shared, own), since: e.Bought})
	}
	return append([]part{whole}, parts...)
}

func groupWords(g record.Group) []string {
	words := []string{string(g.Gasket)}
	for _, w := range []struct {
		is   bool
		word string
	}{{g.ThreeWayValve, wordThreeWay}, {g.Lever, wordLever}, {g.Spring, wordSpring}, {g.Cam, wordCam}} {
		if w.is {
			words = append(words, w.word)
		}
	}
	return words
}

func cartridge(e record.Equipment, t *record.Treatment) part {
	p := part{per: PerCartridge, id: t.ID, name: string(t.Kind), words: []string{string(e.Line.Supply), string(t.Kind)}, since: t.Fitted, stage: t}
	if p.since.IsZero() {
		p.since = e.Bought
	}
	switch {
	case t.Kind.Exchanges():
		p.words = append(p.words, wordExchanger)
	case t.RatedLitres > 0:
		p.words = append(p.words, wordRatedLitres)
	}
	if t.Months > 0 {
		p.words = append(p.words, wordAgeLimit)
	}
	return p
}

// Diameters that burr lives are stated for, and where larger ones begin; mm.
// The ranges of the catalogue's limits, with the gaps between usual sizes.
var burrSizes = map[record.Geometry]struct{ small, large, veryLarge float64 }{
	record.FlatBurrs:    {small: 52, large: 66, veryLarge: 80},
	record.ConicalBurrs: {small: 38, large: 52, veryLarge: 64},
}

func grinderWords(g *record.Grinder) []string {
	words := []string{string(g.Setting), string(g.Drive), string(g.Geometry)}
	switch size := burrSizes[g.Geometry]; {
	case g.DiameterMM < size.small:
		words = append(words, wordSmall)
	case g.DiameterMM >= size.veryLarge:
		words = append(words, wordVeryLarge)
	case g.DiameterMM >= size.large:
		words = append(words, wordLarge)
	}
	if g.Material == record.CeramicBurrs {
		words = append(words, wordCeramic)
	}
	if g.Coated {
		words = append(words, wordCoated)
	}
	if g.Roast != "" {
		words = append(words, roastWord(g.Roast))
	}
	return append(words, grinderFittings(g)...)
}
