package wear

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// labTest is a test by a laboratory, in mg/L as CaCO3.
func labTest(on record.Date, district string, hardness, alkalinity float64) record.Dated[record.WaterTest] {
	return record.Dated[record.WaterTest]{On: on, Body: record.WaterTest{Line: "tap", District: district, Test: water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: hardness, Unit: water.MgPerLCaCO3, Method: water.MethodLaboratory},
		{Quantity: water.Alkalinity, Value: alkalinity, Unit: water.MgPerLCaCO3, Method: water.MethodLaboratory},
	}}}}
}

// hardnessIn returns the hardness of a place's water on a day in each world, mg/L as CaCO3.
func hardnessIn(t *testing.T, memory *Memory, place string, on record.Date, tests ...record.Dated[record.WaterTest]) []float64 {
	t.Helper()
	line := record.Equipment{ID: "tap", Bought: today - 2000, Line: &record.WaterLine{Supply: record.Mains}}
	s := span{first: today - 2000, today: today, last: today + 400}
	lw, err := newLineWater(Draws{Place: place, Worlds: 500}, earlier{memory: memory}, line, nil, tests, s, newGrid(s, nil))
	if err != nil {
		t.Fatal(err)
	}
	water := lw.drifting(on)
	all := make([]float64, 500)
	for w := range all {
		state := lw.in(w, &water)
		hardness, _ := lw.load(w, &state)
		all[w] = 50.04 * hardness // mg CaCO3 a milliequivalent, by its molar mass of 100.09
	}
	return all
}

// logMoments returns mean and standard deviation of logarithms.
func logMoments(all []float64) (mean, sd float64) {
	var sum, squares float64
	for _, x := range all {
		sum += math.Log(x)
		squares += math.Log(x) * math.Log(x)
	}
	mean = sum / float64(len(all))
	return mean, math.Sqrt(max(0, squares/float64(len(all))-mean*mean))
}

// A test of the district leaves open what the place has of its own, and no more: the
// spreads of the two add as those of independent logarithms do.
func TestDistrictTestLeavesThePlaceOpen(t *testing.T) {
	memory := &Memory{}
	_, own := logMoments(hardnessIn(t, memory, "blue", today, labTest(today, "", 250, 200)))
	mean, shared := logMoments(hardnessIn(t, memory, "blue", today, labTest(today, "graz", 250, 200)))
	if want := math.Hypot(own, districtLogSD); math.Abs(shared/want-1) > 0.1 {
		t.Errorf("the spread is %.4f, by hand %.4f", shared, want)
	}
	if math.Abs(math.Exp(mean)/250-1) > 0.03 {
		t.Errorf("the middle is %.1f mg/L of 250", math.Exp(mean))
	}
	// Places on one main have its water in common, world for world; what differs is their own.
	blue, red := hardnessIn(t, memory, "blue", today, labTest(today, "graz", 250, 200)), hardnessIn(t, memory, "red", today, labTest(today, "graz", 250, 200))
	ratios := make([]float64, len(blue))
	for w := range ratios {
		ratios[w] = blue[w] / red[w]
	}
	if _, sd := logMoments(ratios); math.Abs(sd/(districtLogSD*math.Sqrt2)-1) > 0.1 {
		t.Errorf("two places differ by %.4f, by hand %.4f", sd, districtLogSD*math.Sqrt2)
	}
}

// Combined by hand, as measurements are: each by the inverse of its variance.
func TestOwnTestOutweighsTheDistricts(t *testing.T) {
	memory := &Memory{}
	_, sd := logMoments(hardnessIn(t, memory, "blue", today, labTest(today, "", 300, 240)))
	own, district := sd*sd, sd*sd+districtLogSD*districtLogSD
	want := math.Exp((math.Log(300)/own + math.Log(200)/district) / (1/own + 1/district))
	got, spread := logMoments(hardnessIn(t, memory, "blue", today, labTest(today-1, "graz", 200, 160), labTest(today, "", 300, 240)))
	if math.Abs(math.Exp(got)/want-1) > 0.02 {
		t.Errorf("300 of its own and 200 of the district: %.1f mg/L, by hand %.1f", math.Exp(got), want)
	}
	if by := math.Sqrt(1 / (1/own + 1/district)); spread > 1.2*by {
		t.Errorf("the spread is %.4f, by hand %.4f", spread, by)
	}
	// The district tested again: by what its place differs is still known.
	own += districtLogSD * districtLogSD / 1e6 // the day between is nothing
	gain := districtLogSD * districtLogSD / (districtLogSD*districtLogSD + own + own + driftVariance(today-1, today))
	want = 220 * math.Pow(300./200, gain)
	got, _ = logMoments(hardnessIn(t, memory, "blue", today+300, labTest(today-1, "graz", 200, 160), labTest(today, "", 300, 240), labTest(today+300, "graz", 220, 176)))
	if math.Abs(math.Exp(got)/want-1) > 0.04 {
		t.Errorf("tested again the place has %.1f mg/L, by hand %.1f", math.Exp(got), want)
	}
	// A strip says less than a laboratory's test of the district: it does not take it back.
	strip := record.Dated[record.WaterTest]{On: today, Body: record.WaterTest{Line: "tap", Test: water.Test{Values: []water.Measured{
		{Quantity: water.Hardness, Value: 230, Unit: water.MgPerLCaCO3, Method: water.MethodStrip},
	}}}}
	_, without := logMoments(hardnessIn(t, memory, "blue", today, labTest(today-1, "graz", 200, 160)))
	_, with := logMoments(hardnessIn(t, memory, "blue", today, labTest(today-1, "graz", 200, 160), strip))
	if with > without {
		t.Errorf("with a strip beside it the spread is %.4f, without %.4f", with, without)
	}
}

// Places that lie on mains by other arithmetic: a town's water, by which each house
// differs, both drifting as one; laboratories that err by 3 % and 1 mg/L. Windows of eight
// in ten hold about eight in ten, whether a place was ever tested itself or not.
func TestDistrictWindowsHold(t *testing.T) {
	if testing.Short() {
		t.Skip("long arithmetic; make test has it")
	}
	towns, houses := 4, 24
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		towns, houses = 40, 40
	}
	chance := rand.New(rand.NewPCG(19, 26))
	measured := func(x float64) float64 { return x*(1+0.03*chance.NormFloat64()) + chance.NormFloat64() }
	const firstDay, ownDay, lastDay = 700, 300, 60 // days ago
	var inside, all, insideOwn, allOwn int
	var narrower, widths float64
	for range towns {
		memory := &Memory{}
		town := 80 * math.Exp(1.6*chance.Float64()) // 80 to 400 mg/L
		share := 0.6 + 0.3*chance.Float64()
		drift := func(days float64) float64 { return math.Exp(0.10 * math.Sqrt(days/365.25) * chance.NormFloat64()) }
		first := town
		between := first * drift(firstDay-ownDay)
		last := between * drift(ownDay-lastDay)
		now := last * drift(lastDay)
		tests := []record.Dated[record.WaterTest]{labTest(today-firstDay, "town", measured(first), measured(share*first)), labTest(today-lastDay, "town", measured(last), measured(share*last))}
		for house := range houses {
			own := math.Exp(0.10 * chance.NormFloat64())
			place := fmt.Sprintf("house-%d", house)
			hold := func(tests []record.Dated[record.WaterTest]) (float64, bool) {
				p := figure.Over(hardnessIn(t, memory, place, today, tests...))
				return math.Log(p.High / p.Low), p.Low <= now*own && now*own <= p.High
			}
			width, held := hold(tests)
			all++
			if held {
				inside++
			}
			if house%12 != 0 { // an inference takes a tenth of a second
				continue
			}
			with := slices.Insert(slices.Clone(tests), 1, labTest(today-ownDay, "", measured(between*own), measured(share*between*own)))
			ownWidth, held := hold(with)
			allOwn++
			narrower, widths = narrower+ownWidth, widths+width
			if held {
				insideOwn++
			}
		}
	}
	// The places of a town err together: the bounds are those of far fewer cases.
	if got := float64(inside) / float64(all); got < 0.68 || got > 0.92 {
		t.Errorf("of %d places never tested themselves %.2f lie in their windows", all, got)
	}
	if got := float64(insideOwn) / float64(allOwn); got < 0.6 {
		t.Errorf("of %d places tested once %.2f lie in their windows", allOwn, got)
	}
	if narrower > 0.95*widths {
		t.Errorf("a test of its own narrows a place's water to %.2f of what it was", narrower/widths)
	}
	t.Logf("never tested themselves: %d of %d inside; tested once: %d of %d, windows %.2f as wide", inside, all, insideOwn, allOwn, narrower/widths)
}
