package advice

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water"
	"limekeep/water/conductivity"
	"limekeep/water/corrosion"
	"limekeep/water/figure"
	"limekeep/water/inference"
	"limekeep/water/potential"
)

// WaterJudgement is what one water test says of the water: the scale it would
// lay down, what else is likely in it, what it may attack, and which value to
// measure again. It is of the water where it was sampled, as it was then.
type WaterJudgement struct {
	Line   string       `json:"line"`   // empty where the values were given by hand
	Record int64        `json:"record"` // of the test, 0 where the values were given by hand
	On     *record.Date `json:"on"`     // day of the test; null where the values were given by hand
	After  string       `json:"after"`  // id of the treatment it was sampled behind; empty for the supply
	Test   water.Test   `json:"test"`

	Brew     ScalePotential `json:"brew"`
	Steam    ScalePotential `json:"steam"`
	Analysis LikelyAnalysis `json:"analysis"`
	Indices  TradeIndices   `json:"indices"`

	// ChlorideLimitFactor is how often over a boiler may concentrate the water
	// before its chloride reaches the limit of common stainless steel; at most
	// 1000.
	ChlorideLimitFactor figure.Percentiles `json:"chloride_limit_factor"`

	Materials []MaterialRisk `json:"materials"` // always all five, in the same order
	Doubts    []TestDoubt    `json:"doubts"`    // what to measure again, by code
}

// ScalePotential is the lime that water can lay down at a temperature.
type ScalePotential struct {
	Celsius float64 `json:"celsius"`
	// Log10PCO2 is the pressure of CO2 that the water is held at, atm; null in a
	// closed vessel, where the gas stays.
	Log10PCO2 *float64 `json:"log10_pco2_atm"`
	// MgPerL is in mg/L as CaCO3; negative where the water would dissolve lime.
	MgPerL figure.Percentiles `json:"mg_l_caco3"`
}

// LikelyAnalysis is the full analysis behind a test. Amounts are in mg/L.
type LikelyAnalysis struct {
	Hardness        figure.Percentiles `json:"hardness_mg_l_caco3"`
	Calcium         figure.Percentiles `json:"calcium_mg_l"`
	Magnesium       figure.Percentiles `json:"magnesium_mg_l"`
	Sodium          figure.Percentiles `json:"sodium_mg_l"`
	Potassium       figure.Percentiles `json:"potassium_mg_l"`
	Alkalinity      figure.Percentiles `json:"alkalinity_mg_l_caco3"`
	Chloride        figure.Percentiles `json:"chloride_mg_l"`
	Sulfate         figure.Percentiles `json:"sulfate_mg_l"`
	Nitrate         figure.Percentiles `json:"nitrate_mg_l"`
	Silica          figure.Percentiles `json:"silica_mg_l"`
	DissolvedSolids figure.Percentiles `json:"dissolved_solids_mg_l"`
	PH              figure.Percentiles `json:"ph"`                 // at the temperature of the test
	Conductivity    figure.Percentiles `json:"conductivity_us_cm"` // at 25 °C, µS/cm
}

// TradeIndices are the figures the trade quotes; null where the water has no
// calcium or no alkalinity to work them out from.
type TradeIndices struct {
	Celsius   float64             `json:"celsius"` // that Langelier's and Ryznar's hold at
	Langelier *figure.Percentiles `json:"langelier"`
	Ryznar    *figure.Percentiles `json:"ryznar"`
	// LarsonSkold is for iron mains: it says nothing of a machine's materials.
	LarsonSkold *figure.Percentiles `json:"larson_skold_iron_mains"`
}

// MaterialRisk is what the water may do to a material or a part.
type MaterialRisk struct {
	Material string            `json:"material"`
	Judged   bool              `json:"judged"` // false where what it takes to judge was not measured
	Warnings []MaterialWarning `json:"warnings"`
}

// MaterialWarning is one way in which a material may suffer.
type MaterialWarning struct {
	Code        corrosion.WarningCode `json:"code"`
	Sentence    string                `json:"sentence"`
	Probability float64               `json:"probability"` // 0 to 1
}

// TestDoubt is a value to measure again, and why.
type TestDoubt struct {
	Code     inference.DoubtCode `json:"code"`
	Quantity water.Quantity      `json:"quantity"`
	Sentence string              `json:"sentence"`
}

// Materials that a judgement covers, in its order. Each begins the code of the
// warnings that belong to it.
var judgedMaterials = []string{"stainless", "copper", "brass", "level probe", "membrane"}

// Where the potentials are worked out: the water that brews, in a circuit that
// keeps its CO2, and that of a steam boiler at about 1.3 bar on its gauge, held
// at the CO2 of the air. Common practice; the heated wall, hotter still, is left
// to the forecast.
const (
	judgeBrewCelsius  = 93.0
	judgeSteamCelsius = 125.0
)

// ErrNoWaterTest says that no test of a line was written down yet.
var ErrNoWaterTest = &schedule.NeedError{What: "no water test is written down", Do: schedule.Action{Verb: schedule.AddWaterTest}}

// JudgeLine says what the newest water test of a line stands for. The line may be
// left empty where the place has just one. Errors are those of Judge and
// ErrNoWaterTest.
func JudgeLine(d *day.Day, line string) (WaterJudgement, error) {
	e, err := day.Pick(d.Book, line, "water line", func(e record.Equipment) bool { return e.Line != nil })
	if err != nil {
		return WaterJudgement{}, err
	}
	tests := d.Book.WaterTests(e.ID)
	if len(tests) == 0 {
		return WaterJudgement{}, fmt.Errorf("%s: %w", e.ID, ErrNoWaterTest)
	}
	newest := tests[len(tests)-1]
	j, err := Judge(newest.Body.Test)
	if err != nil {
		return WaterJudgement{}, err
	}
	j.Line, j.Record, j.On, j.After = newest.Body.Line, newest.ID, day.DateOrNil(newest.On), newest.Body.After
	return j, nil
}

// Judge says what a water test stands for. The same values get the same answer,
// wherever they come from. Errors are those of inference.FromTest, among them a
// *water.ContradictionError for values that no water has.
func Judge(test water.Test) (WaterJudgement, error) {
	test.Values = slices.Clone(test.Values)
	slices.SortStableFunc(test.Values, func(a, b water.Measured) int {
		return strings.Compare(string(a.Quantity), string(b.Quantity))
	})
	set, err := inference.FromTest(test, inference.SetSize, wear.Draws{}.Points("water", "judge"))
	if err != nil {
		return WaterJudgement{}, err
	}
	tables, err := potential.OfSet(set)
	if err != nil {
		return WaterJudgement{}, err
	}
	air := airLog10PCO2
	j := WaterJudgement{
		Test: test,
		Brew: ScalePotential{Celsius: judgeBrewCelsius, MgPerL: potentialRange(set, tables, wear.SISpread(judgeBrewCelsius), func(p *potential.Table, offset float64) float64 {
			return p.Closed(judgeBrewCelsius, 1, offset)
		})},
		Steam: ScalePotential{Celsius: judgeSteamCelsius, Log10PCO2: &air, MgPerL: potentialRange(set, tables, wear.SISpread(judgeSteamCelsius), func(p *potential.Table, offset float64) float64 {
			return p.Open(judgeSteamCelsius, 1, air, offset)
		})},
		Analysis:            likelyAnalysis(set),
		Indices:             tradeIndices(set),
		ChlorideLimitFactor: set.Percentiles(chlorideLimitFactor),
		Materials:           materialRisks(set, test),
		Doubts:              []TestDoubt{},
	}
	for _, doubt := range inference.Judge(test, set) {
		j.Doubts = append(j.Doubts, TestDoubt{doubt.Code, doubt.Quantity, doubt.Sentence})
	}
	return j, nil
}

func likelyAnalysis(set inference.Set) LikelyAnalysis {
	of := func(f func(water.Analysis) float64) figure.Percentiles { return set.Percentiles(f) }
	return LikelyAnalysis{
		Hardness:        of(hardnessMgPerL),
		Calcium:         of(func(a water.Analysis) float64 { return a.CalciumMgPerKg }),
		Magnesium:       of(func(a water.Analysis) float64 { return a.MagnesiumMgPerKg }),
		Sodium:          of(func(a water.Analysis) float64 { return a.SodiumMgPerKg }),
		Potassium:       of(func(a water.Analysis) float64 { return a.PotassiumMgPerKg }),
		Alkalinity:      of(func(a water.Analysis) float64 { return a.AlkalinityMgPerKgCaCO3 }),
		Chloride:        of(func(a water.Analysis) float64 { return a.ChlorideMgPerKg }),
		Sulfate:         of(func(a water.Analysis) float64 { return a.SulfateMgPerKg }),
		Nitrate:         of(func(a water.Analysis) float64 { return a.NitrateMgPerKg }),
		Silica:          of(func(a water.Analysis) float64 { return a.SilicaMgPerKg }),
		DissolvedSolids: of(conductivity.DissolvedSolids),
		PH:              of(func(a water.Analysis) float64 { return a.PH }),
		Conductivity:    of(conductivity.At25),
	}
}

// materialRisks sorts what may corrode by material. The water counts as it was
// tested: how far a boiler concentrates it is not known here.
func materialRisks(set inference.Set, test water.Test) []MaterialRisk {
	exposure := corrosion.Exposure{Stainless: true, Copper: true, Brass: true, LevelProbe: true, Concentration: 1}
	for _, v := range test.Values {
		if v.Quantity == water.FreeChlorine {
			// The unit was found good when the set was inferred.
			exposure.FreeChlorineMgPerL, _ = v.Quantity.Canonical(v.Value, v.Unit)
			exposure.ReverseOsmosis = true
		}
	}
	warnings := corrosion.Warnings(set, exposure)
	risks := make([]MaterialRisk, len(judgedMaterials))
	for i, material := range judgedMaterials {
		risks[i] = MaterialRisk{Material: material, Judged: material != "membrane" || exposure.ReverseOsmosis, Warnings: []MaterialWarning{}}
		for _, w := range warnings {
			if strings.HasPrefix(string(w.Code), material+":") {
				risks[i].Warnings = append(risks[i].Warnings, MaterialWarning{w.Code, w.Sentence, w.Probability})
			}
		}
	}
	return risks
}
