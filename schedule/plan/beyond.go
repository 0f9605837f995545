package plan

import (
	"fmt"
	"slices"
)

// takeBeyond takes out what the owner fixed on a day beyond the plan: nothing of it is to
// be planned until then. Where that day lies past its late date, it says so.
func (r *Request) takeBeyond() []CannotMeet {
	beyond := func(t Task) bool { return !t.Visit && t.On >= r.Until }
	var late []CannotMeet
	for _, t := range r.Tasks {
		if beyond(t) && t.Late != 0 && t.Late < t.On {
			late = append(late, CannotMeet{
				Task: t.ID, Turn: 1, Late: t.Late, On: t.On,
				Reason: fmt.Sprintf("You fixed it on %s, after its late date, %s.", t.On.Long(), t.Late.Long()),
				WayOut: "Fix it on an earlier day, or leave its day to the plan.",
			})
		}
	}
	r.Tasks = slices.DeleteFunc(slices.Clone(r.Tasks), beyond)
	return late
}
