package spell

import "limekeep/schedule"

// Page says where on the pages an action is done. It begins with “the”, by which
// sentences know that nothing of it is to be typed.
func Page(a schedule.Action) string {
	switch a.Verb {
	case schedule.SetUpPlace:
		if a.Line != "" {
			return "the page Settings"
		}
		return "the page that sets a place up"
	case schedule.AddWaterTest:
		return "the form for a water test"
	case schedule.Measure:
		return "the form on the page of its check"
	case schedule.Done:
		return "the form on the page of its task"
	case schedule.TakeBack:
		return "the words “Take back” beside it in the history"
	case schedule.Subscribe:
		return "the page Calendar"
	case schedule.AddAway:
		return "the form for a time away on the page Use"
	case schedule.AddBag:
		return "the form for a finished bag on the page Use"
	}
	return a.String()
}
