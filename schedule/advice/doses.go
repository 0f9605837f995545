package advice

import (
	"fmt"

	"limekeep/schedule/day"
	"limekeep/water/figure"
)

// DosesOf says what to weigh for a task that takes scale out of a vessel and when it
// is done, in sentences; or why a workshop must do it. It is empty for any other task.
func DosesOf(f *day.Forecast, task string) []string {
	x, err := f.Outcome(task)
	if err != nil || x.Scale == nil || len(x.Duty.Task.Findings) == 0 {
		return nil
	}
	plan, err := Descale(f, DescaleQuery{Vessel: x.Duty.Equipment.ID + "/" + x.Duty.Part})
	if err != nil || plan.Task != x.Duty.ID {
		return nil
	}
	return plan.Doses()
}

// Doses says a plan in sentences: what to weigh, how warm and how long, when a bath is
// spent, and when the rinse is done; or why it is refused.
func (a Descaling) Doses() []string {
	switch {
	case a.Refused:
		says := []string{"Do not descale it yourself this time."}
		for _, reason := range a.Reasons {
			says = append(says, "Because "+reason+".")
		}
		return append(says, a.Instead)
	case a.Clean:
		return []string{"By the forecast there is no scale in it to speak of: no acid is needed. Look, and write down what you found."}
	}
	b := a.Baths
	count := fmt.Sprintf("%d baths, one after the other", b.Baths)
	switch {
	case b.Baths == 1:
		count = "One bath"
	case b.Baths != b.LikelyBaths:
		count = fmt.Sprintf("Up to %d baths, one after the other, likely %d", b.Baths, b.LikelyBaths)
	}
	where := "in the vessel itself"
	if b.Circulated {
		where = "from a container, pumped through and back"
	}
	says := []string{
		fmt.Sprintf("%s, %s: %s g of pure %s in %s litres of water each (%s g without the excess). Have %s g ready.",
			count, where, figure.AtMost(b.GramsEach, 1), b.Acid, figure.AtMost(b.LitresEach, 2), figure.AtMost(b.LeastGramsEach, 1), figure.AtMost(b.AcidGrams, 0)),
		fmt.Sprintf("At most %.0f °C and %.0f minutes each; drained as soon as pH has risen to %s.", b.MostCelsius, b.MostMinutes, figure.AtMost(b.DrainPH, 1)),
		fmt.Sprintf("Up to %s litres of gas come from each: never in a closed vessel.", figure.Rough(b.CO2LitresEach)),
	}
	says = append(says, b.Way...)
	for _, sign := range b.SpentSigns {
		says = append(says, "Spent, or done, when "+sign+".")
	}
	return append(says, fmt.Sprintf("Rinse with at least %s litres, until pH is within %s and conductivity within %.0f %% of the feed’s; then throw away the first %s litres of drinks.",
		figure.Rough(b.RinseLitres), figure.AtMost(b.RinsePHWithin, 1), 100*b.RinseConductivityShare, figure.Rough(b.DiscardLitres)))
}
