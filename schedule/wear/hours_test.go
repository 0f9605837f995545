package wear

import (
	"testing"

	"limekeep/schedule/record"
)

// Hours hot are known as well as they are said: a timer leaves nothing open, an
// owner's figure a little, the hours that are usual in kitchens more. The seal's
// window widens by that and stays about where it was.
func TestHoursHotHaveASpread(t *testing.T) {
	amount := func(change func(*record.Habit)) (spread, middle float64) {
		k := newKitchen(t)
		change(&k.machine().Habit)
		g := k.forecast(t)["machine/group-gasket/group"].Gauges[0]
		return g.Amount.High / g.Amount.Low, g.Amount.Likely
	}
	timed, hours := amount(func(h *record.Habit) { h.HotTimer = []record.Timer{{On: "0 7 * * *", Off: "0 10 * * *"}} })
	stated, about := amount(func(h *record.Habit) { h.HotHours = 3 })
	usual, _ := amount(func(h *record.Habit) { h.HotHours = 0 })
	if timed != 1 {
		t.Errorf("by a timer the hours spread by a factor of %.3f", timed)
	}
	// A log standard deviation of 0.15 is a factor of 1.47 from the 10 to the 90 % point, 0.35 one of 2.45.
	if stated < 1.4 || stated > 1.55 || usual < 2.2 || usual > 2.7 {
		t.Errorf("stated hours spread by a factor of %.2f, usual ones by %.2f", stated, usual)
	}
	if about/hours < 0.95 || about/hours > 1.05 {
		t.Errorf("%.0f hours by the owner's figure, %.0f by a timer", about, hours)
	}
}
