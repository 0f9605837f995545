package wear

import (
	"math"
	"testing"

	"limekeep/schedule/record"
)

// What flows through a jet by Torricelli's law with the share that jets let through, by
// hand: a bore of 0.6 mm has 0.2827 mm²; at 9 bar water leaves it with √(2·9·10⁵/1000) =
// 42.43 m/s; 0.7 of 0.2827 mm² times that is 8.40 mL/s. A vibration pump that gives 10.8
// g/s against nothing and none against 15 bar meets the same jet where 2.80·√p = 10.8 − 0.72·p, at 5.71 bar and 6.69 g/s.
func TestJetFlow(t *testing.T) {
	for _, c := range []struct {
		pump record.Pump
		bore float64
		want float64
	}{{record.RotaryPump, 0.6, 8.40}, {record.RotaryPump, 0.3, 2.10}, {record.VibrationPump, 0.6, 6.69}, {record.VibrationPump, 0, 0}, {record.NoPump, 0.6, 0}} {
		if got := jetFlow(c.pump, c.bore); math.Abs(got-c.want) > 0.02 {
			t.Errorf("%s through %.1f mm: %.2f g/s, want %.2f", c.pump, c.bore, got, c.want)
		}
	}
	p := math.Pow(jetFlow(record.VibrationPump, 0.6)/(8.40/3), 2)
	if curve := vibrationGramsPerSecond * (1 - p/vibrationMostBar); math.Abs(curve-6.69) > 0.02 || math.Abs(p-5.71) > 0.02 {
		t.Errorf("at %.2f bar the pump gives %.2f g/s", p, curve)
	}
}

// The first flow test of a machine whose past nobody knows tells of the scale in its
// boiler, where the bore is known: as much as a clean bore gives speaks against a crust,
// half of it for one. Where the bore is not known it says nothing, and neither does a
// test of a boiler that was descaled on a day that is written down.
func TestFirstFlowTest(t *testing.T) {
	const task = "machine/descale/brew"
	outcome := func(bore, gramsPerSecond float64, change func(*kitchen)) Outcome {
		k := firstDay(t)
		k.worlds = 200
		k.machine().Vessels[0].OrificeMM = bore
		if change != nil {
			change(k)
		}
		var checks []record.Dated[record.Measurement]
		if gramsPerSecond > 0 {
			checks = append(checks, record.Dated[record.Measurement]{ID: 50, On: today, Body: record.Measurement{Equipment: "machine", Kind: record.Flow, Part: "group", Grams: 20 * gramsPerSecond, Seconds: 20}})
		}
		return k.checked(t, checks...)[task]
	}
	clean := jetFlow(record.RotaryPump, 0.6)
	none, full, half := outcome(0.6, 0, nil), outcome(0.6, clean, nil), outcome(0.6, clean/2, nil)
	if none.Past.Flow != nil || full.Past.Flow == nil || math.Abs(full.Past.Flow.CleanGramsPerSecond-clean) > 1e-9 {
		t.Errorf("of the flow is said: %+v, %+v", none.Past.Flow, full.Past.Flow)
	}
	if a, b := none.Scale.Grams, full.Scale.Grams; b.High > 0.9*a.High || b.Likely > a.Likely {
		t.Errorf("a full flow: %+v g, before %+v", b, a)
	}
	if a, b := none.Scale.Grams, half.Scale.Grams; b.Likely < 1.1*a.Likely || b.Low < a.Low {
		t.Errorf("half of the flow: %+v g, before %+v", b, a)
	}
	if a, b := outcome(0, 0, nil), outcome(0, clean/2, nil); a.Scale.Grams != b.Scale.Grams || b.Past.Flow != nil {
		t.Errorf("without a bore: %+v g, before %+v", b.Scale.Grams, a.Scale.Grams)
	}
	descaled := func(k *kitchen) { k.served(0, record.Service{Task: task}) }
	if a, b := outcome(0.6, 0, descaled), outcome(0.6, clean/2, descaled); a.Scale.Grams != b.Scale.Grams || b.Past != nil && b.Past.Flow != nil {
		t.Errorf("descaled: %+v g, before %+v", b.Scale.Grams, a.Scale.Grams)
	}
}
