package advice

import (
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/treatment"
)

// NextLitre is where the hardness of the next litre drawn from a line goes, in mg/L as
// CaCO3 of the middle world. The shares come to the hardness that was tested: nothing
// holds more lime than was fed.
type NextLitre struct {
	Hardness float64         `json:"hardness_mg_l_caco3"` // of the water that was tested
	After    string          `json:"after,omitempty"`     // id of the treatment it was sampled behind
	On       record.Date     `json:"tested"`
	Taken    float64         `json:"taken_mg_l_caco3"` // held back by the treatment as spent as it is today
	Scale    []LitreInVessel `json:"scale"`
	Leaves   float64         `json:"leaves_mg_l_caco3"` // with drinks, hot water and drains
}

// LitreInVessel is what of a litre ends as scale in a vessel.
type LitreInVessel struct {
	Machine string  `json:"machine"`
	Vessel  string  `json:"vessel"`
	Share   float64 `json:"share"` // of the litre that goes through it
	MgPerL  float64 `json:"scale_mg_l_caco3"`
}

// NextLitreOf works out where the next litre's hardness goes. It returns false where
// the line was never tested.
func NextLitreOf(f *day.Forecast, line string) (NextLitre, bool, error) {
	tests := f.Day.Book.WaterTests(line)
	if len(tests) == 0 {
		return NextLitre{}, false, nil
	}
	newest := tests[len(tests)-1]
	for _, t := range tests { // the supply's own says most: all stages lie behind it
		if t.Body.After == "" {
			newest = t
		}
	}
	e, err := f.Day.Book.Find(line)
	if err != nil {
		return NextLitre{}, false, err
	}
	j, err := Judge(newest.Body.Test)
	if err != nil {
		return NextLitre{}, false, err
	}
	n := NextLitre{Hardness: j.Analysis.Hardness.Likely, After: newest.Body.After, On: newest.On, Scale: []LitreInVessel{}}
	stages := e.Line.Treatment
	for i, s := range stages {
		if s.ID == newest.Body.After {
			stages = stages[i+1:]
			break
		}
	}
	passed, err := passing(f, line, j, stages)
	if err != nil {
		return n, false, err
	}
	n.Taken = max(n.Hardness-passed, 0)
	n.split(f, line)
	return n, true, nil
}

// passing is the hardness that the stages let through today, in mg/L as CaCO3: between
// that behind fresh exchangers and the raw water's, by how spent the exchangers are.
func passing(f *day.Forecast, line string, j WaterJudgement, stages []record.Treatment) (float64, error) {
	middle := middleOf(j)
	fresh, err := reaching(equilibrium.NewSolver(), middle, stages, false)
	if err != nil {
		return 0, err
	}
	leaks := 1.0
	exchanges := false
	for _, x := range f.Outcomes() {
		stage := x.Duty.Cartridge()
		if x.Duty.Equipment.ID != line || stage == nil || !stage.Kind.Exchanges() {
			continue
		}
		for _, s := range stages {
			if s.ID != stage.ID {
				continue
			}
			exchanges = true
			for _, g := range x.Gauges {
				if g.Gauge.Driver == care.ByExchange {
					leaks *= treatment.Breakthrough(g.Reading.Likely)
				}
			}
		}
	}
	if !exchanges {
		leaks = 0
	}
	raw := hardnessMgPerL(middle)
	behind := hardnessMgPerL(fresh)
	if raw <= 0 {
		return 0, nil
	}
	// In the proportion of the middle analysis, whose hardness may differ a little
	// from the likely one.
	return j.Analysis.Hardness.Likely * min((behind+leaks*(raw-behind))/raw, 1), nil
}

// split shares out what reaches the machines.
func (n *NextLitre) split(f *day.Forecast, line string) {
	litres := 0.0
	for _, x := range f.Outcomes() {
		if x.Scale != nil && machineOn(x.Duty.Equipment, line) {
			litres += x.Scale.LitresPerWeek
		}
	}
	left := n.Hardness - n.Taken
	n.Leaves = left
	if litres <= 0 {
		return
	}
	for _, x := range f.Outcomes() {
		if x.Scale == nil || !machineOn(x.Duty.Equipment, line) {
			continue
		}
		share := x.Scale.LitresPerWeek / litres
		mg := share * min(max(x.Scale.MgPerLitre.Likely*x.Scale.Multiplier.Likely, 0), left)
		n.Scale = append(n.Scale, LitreInVessel{Machine: x.Duty.Equipment.Title(), Vessel: x.Duty.Part, Share: share, MgPerL: mg})
		n.Leaves -= mg
	}
	n.Leaves = max(n.Leaves, 0)
}

func machineOn(e record.Equipment, line string) bool {
	return e.Machine != nil && e.Machine.Line == line
}

// middleOf is the analysis of the likely amounts.
func middleOf(j WaterJudgement) water.Analysis {
	a := j.Analysis
	return water.Analysis{
		MeasuredCelsius: j.Test.PHCelsius(), PH: a.PH.Likely,
		CalciumMgPerKg: a.Calcium.Likely, MagnesiumMgPerKg: a.Magnesium.Likely, SodiumMgPerKg: a.Sodium.Likely, PotassiumMgPerKg: a.Potassium.Likely,
		AlkalinityMgPerKgCaCO3: a.Alkalinity.Likely, ChlorideMgPerKg: a.Chloride.Likely, SulfateMgPerKg: a.Sulfate.Likely, NitrateMgPerKg: a.Nitrate.Likely, SilicaMgPerKg: a.Silica.Likely,
	}
}
