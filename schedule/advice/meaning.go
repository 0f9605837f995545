package advice

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/corrosion"
	"limekeep/water/figure"
	"limekeep/water/inference"
)

// WaterMeaning is what a water test means for the machines on its line.
type WaterMeaning struct {
	Hardness Hardness `json:"hardness"`
	Scaling  bool     `json:"scaling"`   // it lays lime down where it is heated
	Attacks  []string `json:"attacks"`   // materials of these machines that it is more likely than not to attack
	Says     []string `json:"says"`      // in plain words, the weightiest first
	Mend     []string `json:"mend"`      // what would make it better, in order of sense; empty where nothing need be done
	Again    []string `json:"measure"`   // what to measure again, and why
	Machines []string `json:"machines"`  // the machines on the line
	After    string   `json:"after"`     // id of the treatment it was sampled behind; empty for the supply
	Lime     float64  `json:"lime_mg_l"` // likely lime a litre as it brews, mg as CaCO3; not below 0
}

// Hardness is a water's hardness in a word.
type Hardness string

// Words of hardness: the bounds are those of Germany's law on detergents (WRMG 2007,
// section 9), 1.5 and 2.5 mmol/L, which stand on water bills there; below a fifth of
// the first is very soft, by common practice.
const (
	VerySoft Hardness = "very soft"
	Soft     Hardness = "soft"
	Medium   Hardness = "medium hard"
	Hard     Hardness = "hard"
)

// hardnessOf puts a hardness, mg/L as CaCO3, into a word. 1 mmol/L is 100.09 mg/L.
func hardnessOf(mgPerL float64) Hardness {
	switch {
	case mgPerL < 30:
		return VerySoft
	case mgPerL < 150:
		return Soft
	case mgPerL <= 250:
		return Medium
	}
	return Hard
}

// Figures that decide what is said. Assumptions: 10 mg of lime a litre is a gram a
// year at five litres a week; 40 mg/L of alkalinity keep a water from turning sour in
// the boiler (common practice, as in published recommendations for coffee water).
const (
	scalingMgPerL       = 10.0
	leastAlkalinityMgL  = 40.0
	likelyAttack        = 0.5
	fewTimesChloride    = 2.0 // a boiler concentrates its water at least so far, common practice
	mostPlainAlkalinity = 0.7 // share of the hardness; above it lime and alkalinity go together
)

// MeaningOf says what a water test means for the machines on its line. Errors are
// those of Judge.
func MeaningOf(d *day.Day, t record.WaterTest) (WaterMeaning, error) { return meaningOf(d, t, nil) }

// MeaningIn says what MeaningOf does, and knows by the forecast which cartridge of the
// line is past its date.
func MeaningIn(f *day.Forecast, t record.WaterTest) (WaterMeaning, error) {
	for _, x := range f.Outcomes() {
		stage := x.Duty.Changes()
		if stage != nil && stage.Kind.Exchanges() && x.Duty.Equipment.ID == t.Line && !x.Window.Likely.IsZero() && x.Window.Likely < f.Day.Today {
			return meaningOf(f.Day, t, &x.Window.Likely)
		}
	}
	return meaningOf(f.Day, t, nil)
}

// meaningOf says it of a line whose cartridge was likely used up on a day that is past;
// nil for none.
func meaningOf(d *day.Day, t record.WaterTest, usedUp *record.Date) (WaterMeaning, error) {
	j, err := Judge(t.Test)
	if err != nil {
		return WaterMeaning{}, err
	}
	m := WaterMeaning{
		Hardness: hardnessOf(j.Analysis.Hardness.Likely), Scaling: j.Brew.MgPerL.Likely > scalingMgPerL,
		Lime: max(j.Brew.MgPerL.Likely, 0), After: t.After,
		Attacks: []string{}, Says: []string{}, Mend: []string{}, Again: []string{}, Machines: []string{},
	}
	var machines []record.Equipment
	for _, e := range d.Book.Equipment() {
		if e.Machine != nil && e.Machine.Line == t.Line {
			machines = append(machines, e)
			m.Machines = append(m.Machines, e.Title())
		}
	}
	line, err := d.Book.Find(t.Line)
	if err != nil {
		return m, err
	}
	weak := weak(j)
	m.say(j, machines, weak, d.Place.HardnessUnit)
	m.mend(j, *line.Line, weak, usedUp)
	softened := slices.ContainsFunc(line.Line.Treatment, func(s record.Treatment) bool { return s.ID == t.After && s.Kind == record.Softener })
	for _, doubt := range j.Doubts {
		if softened && doubt.Code == inference.DoubtAlkalinity {
			continue // it takes the hardness and leaves the alkalinity
		}
		m.Again = append(m.Again, doubt.Sentence+".")
	}
	return m, nil
}

// say puts the meaning into words.
func (m *WaterMeaning) say(j WaterJudgement, machines []record.Equipment, weak bool, unit water.Unit) {
	where := "As supplied this"
	if m.After != "" {
		where = "Behind the " + m.After + " this"
	}
	says := fmt.Sprintf("%s is %s water: likely %.0f mg/L of hardness as CaCO3 (%.1f °dH), alkalinity %.0f mg/L.",
		where, m.Hardness, j.Analysis.Hardness.Likely, j.Analysis.Hardness.Likely/17.848, j.Analysis.Alkalinity.Likely)
	hardness, err := water.Hardness.In(j.Analysis.Hardness.Likely, unit)
	alkalinity, also := water.Alkalinity.In(j.Analysis.Alkalinity.Likely, unit)
	if unit != "" && unit != water.MgPerLCaCO3 && err == nil && also == nil {
		says = fmt.Sprintf("%s is %s water: likely %s %s of hardness (%.0f mg/L as CaCO3), alkalinity %s %s (%.0f mg/L).",
			where, m.Hardness, figure.AtMost(hardness, 1), unit, j.Analysis.Hardness.Likely, figure.AtMost(alkalinity, 1), unit, j.Analysis.Alkalinity.Likely)
	}
	m.Says = append(m.Says, says)
	for _, e := range machines {
		for _, v := range e.Machine.Vessels {
			m.Says = append(m.Says, m.lays(j, e, v))
		}
	}
	for _, risk := range j.Materials {
		for _, w := range risk.Warnings {
			made := madeOf(machines, risk.Material)
			if w.Probability < likelyAttack || made == "" {
				continue
			}
			if !slices.Contains(m.Attacks, risk.Material) {
				m.Attacks = append(m.Attacks, risk.Material)
			}
			m.Says = append(m.Says, fmt.Sprintf("It may harm %s, %s likely: %s.", made, figure.Percent(w.Probability), w.Sentence))
		}
	}
	if weak {
		m.Says = append(m.Says, fmt.Sprintf("It has little that keeps it from turning sour, alkalinity of %.0f mg/L: metals wear in it, copper first.", j.Analysis.Alkalinity.Likely))
	} else if len(m.Attacks) == 0 && !m.Scaling {
		m.Says = append(m.Says, "Nothing in it is likely to harm these machines.")
	}
}

// weak reports whether a water has too little alkalinity, or is sour already.
func weak(j WaterJudgement) bool {
	return j.Analysis.Alkalinity.Likely < leastAlkalinityMgL || slices.ContainsFunc(j.Materials, func(r MaterialRisk) bool {
		return slices.ContainsFunc(r.Warnings, func(w MaterialWarning) bool {
			return w.Probability >= likelyAttack && strings.HasSuffix(string(w.Code), "low pH")
		})
	})
}

// lays says what a vessel gets to hold of it.
func (m *WaterMeaning) lays(j WaterJudgement, e record.Equipment, v record.Vessel) string {
	p := j.Brew
	if v.Kind == record.SteamBoiler {
		p = j.Steam
	}
	name := fmt.Sprintf("the %s of %s", v.Kind, e.Title())
	switch {
	case p.MgPerL.Likely < 0:
		return fmt.Sprintf("It lays no lime down in %s: at %.0f °C it would rather dissolve some.", name, p.Celsius)
	case p.MgPerL.Likely < 1:
		return fmt.Sprintf("It lays next to no lime down in %s.", name)
	}
	unless := ", unless a treatment takes it out first"
	if m.After != "" {
		unless = ""
	}
	return fmt.Sprintf("A litre can lay %s mg of lime down in %s at %.0f °C (%s to %s)%s.",
		figure.Rough(p.MgPerL.Likely), name, p.Celsius, figure.Rough(max(p.MgPerL.Low, 0)), figure.Rough(p.MgPerL.High), unless)
}

// madeOf names what of some machines is of a material that was judged; empty where
// nothing is. A vessel whose material nobody knows may be of any.
func madeOf(machines []record.Equipment, judged string) string {
	materials := map[string]record.Material{"stainless": record.Stainless, "copper": record.Copper, "brass": record.Brass}
	var made []string
	for _, e := range machines {
		for _, v := range e.Machine.Vessels {
			switch {
			case v.Material != "" && v.Material == materials[judged]:
				made = append(made, fmt.Sprintf("the %s of %s", v.Kind, e.Title()))
			case v.Material == "" && materials[judged] != "":
				made = append(made, fmt.Sprintf("the %s of %s if it is of %s", v.Kind, e.Title(), materials[judged]))
			case judged == "level probe" && v.Kind == record.SteamBoiler:
				made = append(made, "the level probe of "+e.Title())
			}
		}
	}
	if judged == "membrane" {
		return "a membrane of reverse osmosis"
	}
	return strings.Join(made, ", ")
}

// mend lists what would make the water better, in order of sense: what is there and
// can be set right, then what takes out what is too much, then what is dear.
func (m *WaterMeaning) mend(j WaterJudgement, line record.WaterLine, weak bool, usedUp *record.Date) {
	a := j.Analysis
	chloride := j.ChlorideLimitFactor.Likely < fewTimesChloride
	kinds := map[record.TreatmentKind]bool{}
	for _, t := range line.Treatment {
		kinds[t.Kind] = true
	}
	exchanger := kinds[record.Softener] || kinds[record.Decarboniser] || kinds[record.Mixed]
	add := func(says string) { m.Mend = append(m.Mend, says) }
	if m.Scaling && exchanger {
		switch {
		case m.After == "" && usedUp != nil:
			add(fmt.Sprintf("Change the cartridge first: it was likely used up by %s. A fresh one takes lime out while it lasts; a test behind it says how well: mark the sample as taken there.", usedUp.Long()))
		case m.After != "":
			add("Change the cartridge, or set less to go round it: lime still comes through.")
		default:
			add("The cartridge takes lime out while it lasts. A test behind it says how well: mark the sample as taken there.")
		}
	}
	if chloride {
		add(fmt.Sprintf("Reverse osmosis with raw water blended in: it alone takes chloride out, and of that there is likely %.0f mg/L; a boiler concentrates it.", a.Chloride.Likely))
	}
	if m.Scaling && !exchanger && !chloride {
		if a.Alkalinity.Likely >= mostPlainAlkalinity*a.Hardness.Likely {
			add("A decarbonising cartridge with a bypass: lime and alkalinity leave together. Set the bypass so that the pH stays at 7 or above where copper is in the machine.")
			add("A softening cartridge: it takes the lime and leaves the alkalinity; a steam boiler then wants fresh water more often.")
		} else {
			add("A softening cartridge with a bypass: much of the hardness is not bound to alkalinity, which a decarbonising one would leave in.")
		}
		add("Other water in part: bottled water of few minerals, or a membrane with raw water blended in.")
	}
	if weak {
		switch {
		case kinds[record.ReverseOsmosis]:
			add("Blend more raw water in behind the membrane, until the alkalinity is at 40 mg/L or more.")
		case kinds[record.Decarboniser] || kinds[record.Mixed]:
			add("Let more water go round the cartridge, until the alkalinity is at 40 mg/L or more; or take a softening one instead.")
		default:
			add("Blend it with a harder water, or harden it up, until the alkalinity is at 40 mg/L or more. No softening cartridge: there is nothing for it to do.")
		}
	}
	if !m.Scaling && !weak && !chloride && len(m.Attacks) > 0 {
		add(fmt.Sprintf("Fresh water in the boilers more often, so that nothing gathers there; stainless steel bears about %.0f mg/L of chloride.", corrosion.StainlessChlorideMgPerL))
	}
	if len(m.Mend) > 0 {
		add("Or leave it as it is and descale when it falls due: the dates reckon with this water.")
		if weak && !m.Scaling {
			m.Mend = m.Mend[:len(m.Mend)-1] // nothing of that is mended by descaling
		}
	}
}
