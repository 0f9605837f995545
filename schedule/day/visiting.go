package day

import (
	"slices"
	"time"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
)

// SittingOf returns a sitting of some tasks that begins at an instant, whatever the plan
// says of them: for whoever comes by. What another of them counts for is left out. A task
// that does not fall due, or none at all, is an error that matches record.ErrUnknown.
func (q Visits) SittingOf(tasks []string, start time.Time) (SittingInfo, error) {
	var set []int
	all := q.f.request.Tasks
	for _, id := range tasks {
		i := slices.IndexFunc(all, func(t plan.Task) bool { return t.ID == id })
		if i < 0 {
			return SittingInfo{}, &record.UnknownError{What: "task", Name: id}
		}
		if !slices.Contains(set, i) {
			set = append(set, i)
		}
	}
	set = slices.DeleteFunc(slices.Clone(set), func(i int) bool {
		return slices.ContainsFunc(set, func(j int) bool { return j != i && slices.Contains(all[j].Covers, all[i].ID) })
	})
	if len(set) == 0 {
		return SittingInfo{}, &record.UnknownError{What: "task", Name: "none"}
	}
	return q.f.Sitting(plan.NewLayer(all, q.f.request.Machines).Sitting(all, set, start.In(q.f.Day.Zone))), nil
}
