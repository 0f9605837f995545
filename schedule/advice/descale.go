package advice

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/wear"
	"limekeep/water/descaling"
	"limekeep/water/figure"
)

// Descaling is how the owner takes the scale out of one vessel, or why that is
// work for a workshop. What can hurt and how to make safe stand first.
type Descaling struct {
	Cautions []string `json:"cautions"`
	MakeSafe []string `json:"make_safe"` // in this order

	Task      string             `json:"task"`
	Equipment string             `json:"equipment"`
	Name      string             `json:"equipment_name"`
	Vessel    string             `json:"vessel"`
	Title     string             `json:"title"`
	Today     record.Date        `json:"today"`
	Fresh     record.Date        `json:"fresh"`                  // last descaled, or new; where nobody knows, the day its records begin
	Unknown   bool               `json:"past_unknown,omitempty"` // nobody wrote down when it was last descaled
	Grams     figure.Percentiles `json:"grams"`                  // of scale in the vessel, by the forecast
	MM        figure.Percentiles `json:"mm"`                     // of scale on its heated wall
	Refused   bool               `json:"refused"`                // a workshop must do it
	Reasons   []string           `json:"reasons"`                // why; empty where it is not refused
	Instead   string             `json:"instead"`                // what to do when refused
	Clean     bool               `json:"clean"`                  // no scale to speak of, so nothing is planned
	Doubts    []string           `json:"doubts"`                 // what to bear in mind before starting
	Baths     *BathPlan          `json:"baths"`                  // null where refused or clean
	Steps     []string           `json:"steps"`                  // of the catalogue; empty where refused or clean
	WriteDown string             `json:"write_down"`             // the command that records what was found
}

// BathPlan is the acid to weigh and how to go about it. All baths are alike.
type BathPlan struct {
	Acid        descaling.Acid `json:"acid"`
	Baths       int            `json:"baths"`        // take up the upper end of the estimate
	LikelyBaths int            `json:"likely_baths"` // take up its middle
	Circulated  bool           `json:"circulated"`   // pumped through from a container, which holds the bath
	Way         []string       `json:"way"`          // how it is filled, where the gas goes, where it is drained

	LitresEach      float64 `json:"litres_each"`
	GramsEach       float64 `json:"acid_grams_each"` // pure acid to weigh, the excess included
	LeastGramsEach  float64 `json:"acid_grams_each_without_excess"`
	ScaleGramsEach  float64 `json:"scale_grams_each"`  // that one bath takes up
	AcidGrams       float64 `json:"acid_grams"`        // for all baths: have so much ready
	LikelyAcidGrams float64 `json:"likely_acid_grams"` // for the likely ones

	MostCelsius   float64  `json:"most_celsius"`
	MostMinutes   float64  `json:"most_minutes"`
	DrainPH       float64  `json:"drain_ph"` // drained as soon as it has risen to this
	CO2LitresEach float64  `json:"co2_litres_each"`
	SpentSigns    []string `json:"spent_signs"`

	RinseLitres            float64 `json:"rinse_litres"`              // at least
	RinsePHWithin          float64 `json:"rinse_ph_within"`           // of the feed's
	RinseConductivityShare float64 `json:"rinse_conductivity_within"` // of the feed's, as a share
	DiscardLitres          float64 `json:"discard_litres"`            // of drinks, afterwards

	Why []string `json:"why"` // how the amounts came about
}

// DescaleQuery is what the owner says of the work.
type DescaleQuery struct {
	Vessel string         // machine/vessel, or the vessel's id where no other machine has it
	Acid   descaling.Acid // citric acid where empty
	Litres float64        // that one bath holds; 0 takes what is known of the vessel
}

// Descale plans the descaling of a vessel. A refusal is an answer, not an
// error. Errors: one that matches record.ErrUnknown for the vessel, a
// *water.AcidError, a *record.FieldError for litres outside 0.02 to 100, and
// those of every answer.
func Descale(f *day.Forecast, query DescaleQuery) (Descaling, error) {
	query.Acid = cmp.Or(query.Acid, descaling.Citric)
	if !slices.Contains(descaling.Acids(), query.Acid) {
		return Descaling{}, &descaling.AcidError{Written: string(query.Acid)}
	}
	if query.Litres != 0 && !(query.Litres >= 0.02 && query.Litres <= 100) { // nor NaN
		return Descaling{}, &record.FieldError{Field: "litres", Value: fmt.Sprint(query.Litres), Want: "0.02 to 100 litres, what one bath holds"}
	}
	x, vessel, err := vesselToDescale(f, query.Vessel)
	if err != nil {
		return Descaling{}, err
	}
	a := Descaling{
		Cautions: f.Day.Catalogue().Cautions(x.Duty.Task), MakeSafe: x.Duty.Task.MakeSafe,
		Task: x.Duty.ID, Equipment: x.Duty.Equipment.ID, Name: x.Duty.Equipment.Title(), Vessel: vessel.ID, Title: x.Duty.Title,
		Today: f.Day.Today, Fresh: x.Since, Unknown: x.Past != nil, Grams: x.Scale.Grams, MM: x.Scale.MM,
		Reasons: []string{}, Doubts: []string{}, Steps: []string{},
		WriteDown: f.Day.Spell(schedule.Action{Verb: schedule.Done, Task: x.Duty.ID, Findings: day.FindingsOf(x.Duty.Task)}),
	}
	a.plan(day.HistoryOf(f.Day.Book, x.Duty), x, vessel, query)
	return a, nil
}

// cleanGrams is the scale, at the upper end of the estimate, that is not worth
// any acid. Assumption: less than a tenth of what is worth descaling.
const cleanGrams = 0.2

// plan fills in the baths, or why there are none.
func (a *Descaling) plan(services []record.Dated[record.Service], x wear.Outcome, v record.Vessel, query DescaleQuery) {
	litres, usual := bathLitres(v, x.Duty.Equipment.Machine.Setting, query.Litres)
	job := descaling.Vessel{
		ScaleGrams: max(a.Grams.Likely, cleanGrams), ThicknessMM: a.MM.Likely,
		BathLitres: litres, Litres: v.Litres, PumpedThrough: pumpedThrough(v),
		Aluminium: v.Material == record.Aluminium, Prohibition: v.NoDescaler,
	}
	found, crusted := day.LastCrust(services)
	job.CrustOrFlakes = crusted && found.Body.Left > 0
	// Whether it is refused is decided at the middle of the estimate; the acid
	// is then planned for its upper end, as far as that may be done at all.
	_, err := descaling.PlanBaths(query.Acid, job)
	if why := sealed(v); why != "" {
		var others *descaling.RefusalError
		reasons := []string{why}
		if errors.As(err, &others) {
			reasons = append(reasons, others.Reasons...)
		}
		err = &descaling.RefusalError{Reasons: reasons}
	}
	var refusal *descaling.RefusalError
	if errors.As(err, &refusal) {
		a.refuse(refusal, found, job.CrustOrFlakes)
		return
	}
	if crusted {
		a.Doubts = append(a.Doubts, fmt.Sprintf("It was %s on %s (record %d), since taken out. Where it came once it comes again: look inside first where you can.", found.Body.Finding, found.On.Long(), found.ID))
	}
	a.bathDoubts(v, query.Litres)
	a.doubts(x, v, usual)
	if a.Grams.High < cleanGrams {
		a.Clean = true
		return
	}
	job.ScaleGrams = min(max(a.Grams.High, cleanGrams), descaling.MostGrams)
	baths, err := descaling.PlanBaths(query.Acid, job)
	if err != nil {
		// What may be done at the middle may be done with up to the most grams.
		a.refuse(&descaling.RefusalError{Reasons: []string{err.Error()}}, found, job.CrustOrFlakes)
		return
	}
	for _, caution := range baths.Cautions {
		a.Cautions = append(a.Cautions, say.UpperFirst(caution)+".")
	}
	a.Baths = newBathPlan(baths, a.Grams, job.PumpedThrough, max(baths.LitresEach, v.Litres))
	a.Steps = x.Duty.Task.Steps
}

func (a *Descaling) refuse(refusal *descaling.RefusalError, found record.Dated[record.Service], crusted bool) {
	a.Refused, a.Reasons = true, refusal.Reasons
	if crusted {
		a.Reasons = append(a.Reasons, fmt.Sprintf("it was %s on %s (record %d) that the last opening found", found.Body.Finding, found.On.Long(), found.ID))
	}
	a.Instead = "Book a workshop that opens the vessel or takes it out. Until then run the machine no more than you must, and not at all if a safety valve drips, a level runs wrong or the flow has dropped. When the work is done, write it down."
}

// doubts says what speaks for care without forbidding the work.
func (a *Descaling) doubts(x wear.Outcome, v record.Vessel, usual bool) {
	add := func(format string, args ...any) { a.Doubts = append(a.Doubts, fmt.Sprintf(format, args...)) }
	if v.Material == "" {
		add("Nobody said what it is made of. Acid eats aluminium: no acid before you have seen, or the manual says, that it is another metal.")
	}
	if a.Grams.High > descaling.MostGrams || a.MM.High > descaling.MostMM {
		add("One chance in ten that there is more than %s g or %s mm: beyond %g g or %g mm it is work for a workshop. Look inside first where you can, and stop at the first flakes.",
			figure.Rough(a.Grams.High), figure.Rough(a.MM.High), descaling.MostGrams, descaling.MostMM)
	}
	if x.Scale.LastTest.IsZero() {
		add("The water of this line was never tested, so the estimate is wide: test it first.")
	}
	if usual {
		add("How much the vessel holds was not written down: the usual size of its kind is taken. Measure what runs out when you drain it and ask again with the litres.")
	}
	for _, other := range x.Duty.Equipment.Machine.Vessels {
		if other.ID != v.ID && (other.Material == record.Aluminium || other.NoDescaler != "") {
			add("No acid may get into the %s (%s) of the same machine: do this only where you can keep the two apart.", other.ID, other.Kind)
		}
	}
	add("A crust, or flakes in what runs out, end the work: drain, rinse, and leave the vessel to a workshop.")
}

// bathDoubts says what of the litres asked for cannot be so.
func (a *Descaling) bathDoubts(v record.Vessel, asked float64) {
	switch {
	case v.Litres == 0 || asked == 0:
	case asked > v.Litres && !pumpedThrough(v):
		a.Doubts = append(a.Doubts, fmt.Sprintf("The %s holds %s litres, so a bath in it can be no larger than that: %s do not fit. A larger bath is only for what is pumped through.",
			v.Kind, figure.Rough(v.Litres), figure.Rough(asked)))
	case asked < v.Litres && pumpedThrough(v):
		a.Doubts = append(a.Doubts, fmt.Sprintf("The %s holds %s litres: a bath of %s does not fill it, so that its upper walls stay as they are.",
			v.Kind, figure.Rough(v.Litres), figure.Rough(asked)))
	}
}

// pumpedThrough tells whether a bath has to be pumped through a vessel, which has no
// opening of its own.
func pumpedThrough(v record.Vessel) bool { return v.Descaling() == record.PumpedThrough }

// sealed says why a vessel is left to a workshop that nothing else speaks against
// descaling at home; empty where it need not be.
func sealed(v record.Vessel) string {
	if v.Descaling() != record.AtWorkshop || v.Material == record.Aluminium || v.NoDescaler != "" {
		return ""
	}
	if v.Descaled == record.AtWorkshop {
		return "its maker leaves it to a workshop"
	}
	return fmt.Sprintf("a %s has no opening to the air, and nobody said that its maker foresees to pump acid through; where the manual does, say so of this vessel (descaled: pumped through)", v.Kind)
}

// bathLitres is what one bath is to hold, and whether the size of the vessel had
// to be guessed for it.
func bathLitres(v record.Vessel, setting record.Setting, given float64) (litres float64, guessed bool) {
	switch {
	case given > 0:
		return given, false
	case pumpedThrough(v):
		return max(containerLitres, containerVolumes*v.Litres), false
	case v.Litres > 0:
		return v.Litres, false
	}
	return wear.UsualLitres(v.Kind, setting), true
}

// What is pumped through comes from a jug; through a boiler, from a container
// that can fill it and still cover the end of the hose. Assumptions.
const (
	containerLitres  = 1.0
	containerVolumes = 1.5
)

// wayOf says how a bath gets in and out, and where its gas goes.
func wayOf(pumped bool) []string {
	if pumped {
		return []string{
			"In: empty it first, then let the machine's own pump draw the bath from the container, as the maker foresees it. Where the maker foresees no way through, this is work for a workshop.",
			"Gas: what runs out at the group goes back into the container, and both stand open the whole time.",
			"Out: pump it out into the sink, then clear water from another container after it.",
		}
	}
	return []string{
		"In: with the heater off, through its own filling or the opening that the maker names, no higher than its usual level.",
		"Gas: by the steam valve, which stays open the whole time.",
		"Out: by its drain or the hot water tap.",
	}
}

// anhydrousCitricShare is the mass of citric acid without its water of
// crystallisation over that with it: molar masses 192.12 and 210.14 g/mol, from
// the standard atomic weights of the IUPAC.
const anhydrousCitricShare = 192.12 / 210.14

// newBathPlan turns the baths for the upper end of an estimate into a plan that
// also says how far one is likely to get with fewer. rinsedLitres is what holds
// acid and has to be rinsed.
func newBathPlan(b descaling.Baths, grams figure.Percentiles, circulated bool, rinsedLitres float64) *BathPlan {
	likely := min(b.Count, max(1, int(math.Ceil(grams.Likely/b.ScaleGramsEach-1e-9))))
	p := &BathPlan{
		Acid: b.Acid, Baths: b.Count, LikelyBaths: likely, Circulated: circulated,
		LitresEach: b.LitresEach, GramsEach: b.GramsEach, LeastGramsEach: b.LeastGramsEach, ScaleGramsEach: b.ScaleGramsEach,
		AcidGrams: b.GramsEach * float64(b.Count), LikelyAcidGrams: b.GramsEach * float64(likely),
		MostCelsius: b.MostCelsius, MostMinutes: b.MostMinutes, DrainPH: b.DrainPH, CO2LitresEach: b.CO2LitresEach,
		SpentSigns: b.SpentSigns, Way: wayOf(circulated), RinseLitres: b.Rinse.VesselVolumes * rinsedLitres,
		RinsePHWithin: b.Rinse.PHWithin, RinseConductivityShare: b.Rinse.ConductivityWithin, DiscardLitres: b.Rinse.DiscardLitres,
	}
	add := func(format string, args ...any) { p.Why = append(p.Why, fmt.Sprintf(format, args...)) }
	if covered := b.ScaleGramsEach * float64(b.Count); grams.High > descaling.MostGrams {
		add("All baths together take up %s g, the most that is done at home: one vessel in ten like this one holds more than %s g. The likely %s g take %s.",
			figure.Rough(covered), figure.Rough(grams.High), figure.Rough(grams.Likely), say.Count(likely, "bath"))
	} else {
		add("All baths together take up %s g, which nine vessels in ten like this one do not exceed, so that nothing is left; the likely %s g take %s.",
			figure.Rough(covered), figure.Rough(grams.Likely), say.Count(likely, "bath"))
	}
	add("A bath too weak leaves scale or lays something down; one that meets less scale than it was weighed for does no more than the others. So each is weighed in full, and you stop when nothing fizzes although the bath is still sour.")
	add("A bath takes up at most %g g of scale a litre. If the last one comes out spent as well, there is more than was to be expected: stop, rinse, and leave the rest to a workshop.", descaling.BathMostGramsPerL)
	switch b.Acid {
	case descaling.Citric:
		add("Citric acid counts on one of its three protons, %.1f g for each gram of scale and at least half as much again, so that the bath ends at pH %g or less and no calcium citrate forms. Weighed as the monohydrate; of the acid without water take %.2f times as much.",
			b.Acid.GramsPerGram(), b.DrainPH, anhydrousCitricShare)
	case descaling.Lactic:
		add("Lactic acid is sold diluted: divide the grams by the strength on its label, such as 0.8.")
	}
	return p
}

// vesselToDescale finds a vessel that scales, with its outcome. The name may be
// machine/vessel, the vessel's id alone where one machine only has it, or as
// much of the task's id as no other task shares.
func vesselToDescale(f *day.Forecast, name string) (wear.Outcome, record.Vessel, error) {
	var found []wear.Outcome
	var known, shared []string
	for _, x := range f.Outcomes() {
		if x.Scale == nil || x.Duty.Task.Findings != care.FindsScale {
			continue
		}
		full := x.Duty.Equipment.ID + "/" + x.Duty.Part
		known = append(known, full)
		if name == full || name == x.Duty.Part || name != "" && strings.HasSuffix("/"+x.Duty.ID, "/"+name) {
			found, shared = append(found, x), append(shared, full)
		}
	}
	switch len(found) {
	case 0:
		return wear.Outcome{}, record.Vessel{}, &record.UnknownError{What: "vessel", Name: name, Known: known}
	case 1:
		x := found[0]
		for _, v := range x.Duty.Equipment.Machine.Vessels {
			if v.ID == x.Duty.Part {
				return x, v, nil
			}
		}
	}
	return wear.Outcome{}, record.Vessel{}, &record.UnknownError{What: "vessel", Name: name, Known: shared, Many: true}
}
