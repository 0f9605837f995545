package checklist

import (
	"slices"
	"strings"
	"time"

	"limekeep/schedule/day"
)

// Begin makes the checklist of a sitting of the plan. Doses says of a task what it
// has to have weighed; empty for most.
func Begin(f *day.Forecast, s day.SittingInfo, doses func(task string) []string, now time.Time) Checklist {
	c := Checklist{Planned: s.Start, Begun: now, Minutes: s.Minutes, Cautions: s.Cautions, Parts: s.Parts, Tools: s.Tools}
	for _, d := range f.Due() {
		c.Before = append(c.Before, Dated{Task: d.Task, Title: d.Title, Name: d.Name, Likely: d.Likely})
	}
	turns := map[string]day.TurnInfo{}
	for _, t := range s.Turns {
		turns[t.Task] = t
	}
	lastOf := map[string]int{}
	for i, step := range s.Steps {
		if step.What == string(Work) {
			lastOf[step.Task] = i
		}
	}
	placed := map[int]int{} // item of each way of making safe
	for i, step := range s.Steps {
		var needs []int
		if step.Task != "" && step.What == string(Work) {
			for k, safe := range s.MakeSafe {
				if !slices.Contains(safe.IDs, step.Task) {
					continue
				}
				if _, there := placed[k]; !there {
					placed[k] = len(c.Items)
					c.Items = append(c.Items, safeItem(safe))
				}
				needs = append(needs, placed[k])
			}
		}
		t := turns[step.Task]
		item := Item{Kind: Kind(step.What), Says: step.Says, Before: step.At.Before(s.Start), From: step.At.Sub(s.Start).Minutes(), Task: step.Task, Title: t.Title, Name: t.Name, Of: step.Of, Minutes: step.Minutes, Needs: needs}
		if duty, err := f.Day.Duty(step.Task); step.Task != "" && err == nil {
			item.Of = duty.Equipment.ID
		}
		if last, ok := lastOf[step.Task]; ok && last == i && step.Task != "" {
			item.Last, item.Known = true, latestRecord(f.Day, step.Task)
		}
		if item.Kind == Work && !slices.ContainsFunc(c.Items, func(x Item) bool { return x.Kind == Work && x.Task == step.Task }) {
			item.Doses = doses(step.Task)
		}
		c.Items = append(c.Items, item)
	}
	return c
}

// latestRecord is the highest number of a record that says that a task was done.
func latestRecord(d *day.Day, task string) int64 {
	duty, err := d.Duty(task)
	if err != nil {
		return 0
	}
	latest := int64(0)
	for _, s := range day.ServicesOf(d.Book, duty) {
		latest = max(latest, s.ID)
	}
	return latest
}

// safeItem is a way of making safe as an item.
func safeItem(safe day.SafetyRoutine) Item {
	item := Item{Kind: MakeSafe, Says: "Make safe", Title: strings.Join(safe.Tasks, ", "), Lines: safe.Steps}
	for _, then := range safe.Then {
		item.Also = append(item.Also, Lines{Task: then.Task, Lines: then.Steps})
	}
	return item
}
