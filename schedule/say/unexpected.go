package say

import (
	"fmt"
	"math"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// Unexpected says of each finding that nobody expected how unexpected it was, and what
// would explain it; none where all was as it was to be expected.
func Unexpected(x wear.Outcome, spell schedule.Speller) []string {
	if x.Learned == nil {
		return nil
	}
	var says []string
	for _, o := range x.Learned.Observed {
		if o.Chance >= wear.Unexpected || o.Chance == 0 && o.Found.Finding == "" && o.Found.Grams == 0 {
			continue
		}
		says = append(says, unexpectedSentence(x, o, spell))
	}
	return says
}

func unexpectedSentence(x wear.Outcome, o wear.Observed, spell schedule.Speller) string {
	found := string(o.Found.Finding)
	if o.Found.Grams > 0 {
		if found != "" {
			found += ", "
		}
		found += figure.Exact(o.Found.Grams) + " g"
	}
	side := "as little, or less,"
	if o.More {
		side = "as much, or more,"
	}
	text := fmt.Sprintf("Nobody expected what was found on %s (%s): %s had %s.", o.On.Long(), found, side, chanceText(o.Chance))
	if x.Scale != nil && o.Found.Grams > o.Amount.High {
		text += fmt.Sprintf(" It is more than all that the water, as it is believed to be, could have laid down since (%s g at the most likely).", figure.Rough(o.Amount.Likely))
	}
	why := explanations(x, o)
	return text + " What would explain it: " + strings.Join(why[:len(why)-1], ", ") + ", or " + why[len(why)-1] + "." + toldApart(x, spell)
}

// chanceText puts a small chance in words.
func chanceText(chance float64) string {
	if chance < 1.0/1000 {
		return "less than one chance in 1,000"
	}
	in := 1 / chance
	step := math.Pow(10, math.Floor(math.Log10(in)))
	return fmt.Sprintf("about one chance in %.0f", math.Round(in/step)*step)
}

// explanations lists what a finding that nobody expected can be due to.
func explanations(x wear.Outcome, o wear.Observed) []string {
	var why []string
	switch {
	case x.Scale != nil && o.More:
		why = append(why, "water that is harder than was believed", "more use than was written down")
		if x.Scale.Treated {
			why = append(why, "a cartridge that let hardness through")
		}
		why = append(why, "a volume or a heater other than was written down", "scale that was there before and that no service took out")
	case x.Scale != nil:
		why = append(why, "water that is softer than was believed", "less use than was written down", "a descaling that nobody wrote down", "an eye that saw too little of it")
	case o.More:
		why = append(why, "more use than was written down", "a part that was older than was written down", "heat, water or detergent that wears it faster here")
	default:
		why = append(why, "less use than was written down", "a part that was changed and nobody wrote it down", "a part that lasts longer here than such parts do")
	}
	return why
}

// toldApart says what would tell the explanations apart.
func toldApart(x wear.Outcome, spell schedule.Speller) string {
	if x.Scale == nil {
		return " Its next dates allow for both, and are less sure for it."
	}
	return fmt.Sprintf(" A water test (%s) would tell most of that apart; until then its next dates allow for all of it.", spell.Quote(schedule.Action{Verb: schedule.AddWaterTest}))
}
