package deposit

import (
	"math"
	"testing"

	"limekeep/water/watertest"
)

// By hand: 2.71 g of dense calcite over 10 cm² is a layer of 1 mm; with a
// quarter of pores 1.333 mm.
func TestScaleThickness(t *testing.T) {
	watertest.Near(t, "dense", ScaleThicknessMM(2.71, 10, 0), 1, 1e-12)
	watertest.Near(t, "porous", ScaleThicknessMM(2.71, 10, 0.25), 4.0/3, 1e-12)
}

// 1 - 1/e after one time constant; nothing at once, all in the end.
func TestConversion(t *testing.T) {
	watertest.Near(t, "one time constant", Conversion(20, 20), 1-1/math.E, 1e-12)
	watertest.Near(t, "at once", Conversion(0, 20), 0, 0)
	watertest.Near(t, "in the end", Conversion(1e5, 20), 1, 1e-12)
}

// A mole each of CaCO3, CaSO4 and Mg(OH)2: 100.09, 136.14 and 58.32 g (CRC
// Handbook of Chemistry and Physics).
func TestSolidsGrams(t *testing.T) {
	watertest.Near(t, "calcite", Solids{CalciteMol: 1}.Grams(), 100.09, 0.01)
	watertest.Near(t, "anhydrite", Solids{AnhydriteMol: 1}.Grams(), 136.14, 0.01)
	watertest.Near(t, "brucite", Solids{BruciteMol: 1}.Grams(), 58.32, 0.01)
	watertest.Near(t, "a sum", Solids{1, 2, 3}.Plus(Solids{3, 2, 1}).Grams(), 4*(100.09+136.14+58.32), 0.1)
}
