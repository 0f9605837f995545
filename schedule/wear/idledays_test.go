package wear

import (
	"context"
	"math"
	"testing"

	"limekeep/schedule/record"
)

// Who goes away for three weeks from the week after next uses the machine neither more
// nor less before: no part of it that nobody spoke of is further gone today for that, and
// none falls due sooner, but for what whole days and days of the week make of it.
func TestTimeAwaySaysNothingOfThePast(t *testing.T) {
	outcomes := func(away bool) map[string]Outcome {
		k := firstDay(t)
		k.worlds = 200
		a := record.Away{From: today + 13, To: today + 34}
		if away {
			k.entries = append(k.entries, record.Entry{ID: 90, Effective: today, Body: a})
		}
		h := k.household()
		if away {
			h.Absences = map[string][]Absence{"machine": {{From: a.From, To: a.To}}}
		}
		all, err := Forecast(context.Background(), h)
		if err != nil {
			t.Fatal(err)
		}
		byTask := map[string]Outcome{}
		for _, o := range all {
			byTask[o.Duty.ID] = o
		}
		return byTask
	}
	here, away := outcomes(false), outcomes(true)
	for _, task := range []string{"machine/backflush-detergent/group", "machine/descale/brew", "machine/group-gasket/group", "grinder/burr-replacement"} {
		was, is := here[task], away[task]
		if was.Past == nil || is.Past == nil {
			t.Fatalf("%s: its past is known", task)
		}
		if a, b := was.Gauges[0].Reading.Likely, is.Gauges[0].Reading.Likely; math.Abs(b/a-1) > 0.05 {
			t.Errorf("%s reads %.3f today, and %.3f with a time away to come", task, a, b)
		}
		a, b := was.Window, is.Window
		if b.Early < a.Early-2 || b.Likely != 0 && b.Likely < a.Likely-1 {
			t.Errorf("%s falls due from %v, likely %v, and with a time away from %v, likely %v", task, a.Early, a.Likely, b.Early, b.Likely)
		}
	}
}
