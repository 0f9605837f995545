package advice

import (
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water"
	"limekeep/water/conductivity"
	"limekeep/water/corrosion"
	"limekeep/water/equilibrium"
	"limekeep/water/figure"
	"limekeep/water/inference"
	"limekeep/water/treatment"
)

// reach works out what gets to the machines behind fresh cartridges, and what
// that may corrode there.
func (w *ComparedWater) reach(house *wear.Household, line string, test *record.Dated[record.WaterTest]) error {
	if test == nil {
		return nil
	}
	set, err := inference.FromTest(test.Body.Test, inference.SetSize, house.Draws.Points("water/"+line, "test/"+test.On.String()))
	if err != nil {
		return err
	}
	stages := w.Treatment
	for i, stage := range stages {
		if stage.ID == test.Body.After {
			stages = stages[i+1:] // the sample has been through the others
			break
		}
	}
	tank := false
	exposure := corrosion.Exposure{Concentration: 1}
	for _, e := range house.Equipment {
		switch {
		case e.Line != nil && e.ID == line:
			tank = e.Line.Supply == record.Tank
		case e.Machine != nil && e.Machine.Line == line:
			for _, v := range e.Machine.Vessels {
				of := func(material record.Material) bool { // a metal that nobody named may be any
					return v.Material == material || v.Material == ""
				}
				exposure.Stainless = exposure.Stainless || of(record.Stainless)
				exposure.Copper = exposure.Copper || of(record.Copper)
				exposure.Brass = exposure.Brass || of(record.Brass)
				exposure.LevelProbe = exposure.LevelProbe || v.Kind == record.SteamBoiler
			}
		}
	}
	chlorine := 0.0
	for _, v := range test.Body.Test.Values {
		if v.Quantity == water.FreeChlorine {
			chlorine, _ = v.Quantity.Canonical(v.Value, v.Unit) // found good when the set was inferred
		}
	}
	solver := equilibrium.NewSolver()
	for i, a := range set.Analyses {
		if set.Analyses[i], err = reaching(solver, a, stages, tank); err != nil {
			return err
		}
	}
	for _, stage := range stages {
		switch stage.Kind {
		case record.Carbon:
			chlorine *= treatment.Cartridge{Kind: treatment.CarbonFilter, BypassShare: stage.BypassShare}.ChlorinePassed(0)
		case record.ReverseOsmosis:
			exposure.ReverseOsmosis, exposure.FreeChlorineMgPerL = true, chlorine
		}
	}
	of := func(f func(water.Analysis) float64) figure.Percentiles { return set.Percentiles(f) }
	w.Reaches = &ReachingWater{
		Hardness:     of(hardnessMgPerL),
		Alkalinity:   of(func(a water.Analysis) float64 { return a.AlkalinityMgPerKgCaCO3 }),
		Chloride:     of(func(a water.Analysis) float64 { return a.ChlorideMgPerKg }),
		PH:           of(func(a water.Analysis) float64 { return a.PH }),
		Conductivity: of(conductivity.At25),
	}
	// Chloride counts where it gathers most: in a steam boiler after a year in
	// which half of its water was replaced each month, as it should be.
	for _, v := range w.Vessels {
		if v.ChlorideWithDrains != nil && w.Reaches.Chloride.Likely > 0 {
			exposure.Concentration = max(exposure.Concentration, *v.ChlorideWithDrains/w.Reaches.Chloride.Likely)
		}
	}
	for _, warning := range corrosion.Warnings(set, exposure) {
		w.Warnings = append(w.Warnings, MaterialWarning{warning.Code, warning.Sentence, warning.Probability})
	}
	return nil
}

// reaching gives the water behind stages with fresh cartridges, and out of the
// tank where there is one.
func reaching(solver *equilibrium.Solver, a water.Analysis, stages []record.Treatment, tank bool) (water.Analysis, error) {
	solution, err := solver.Speciate(a)
	if err != nil {
		return a, err
	}
	totals, err := wear.FreshFeed(solver, solution.Totals, stages, tank)
	if err != nil {
		return a, err
	}
	if solution, err = solver.Equilibrate(totals, a.MeasuredCelsius); err != nil {
		return a, err
	}
	return solution.Analysis(), nil
}
