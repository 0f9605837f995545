package placefile

import (
	"go.yaml.in/yaml/v3"

	"limekeep/schedule/record"
)

// fillWeeks takes the days of a week to be alike where a habit speaks of some of them alone:
// what is left out never counts as nothing drunk. A place that is closed says 0.
func fillWeeks(root *yaml.Node, equipment []record.Equipment) {
	list := plain(member(root, "equipment"))
	if list == nil || list.Kind != yaml.SequenceNode || len(list.Content) != len(equipment) {
		return // it is told as a mistake
	}
	for i, node := range list.Content {
		if equipment[i].Machine == nil {
			continue
		}
		habit := plain(member(plain(member(plain(node), "machine")), "habit"))
		h := &equipment[i].Machine.Habit
		if h.Validate() != nil {
			continue // a figure that is wrong is told once, where it stands
		}
		weekday, weekend := &h.WeekdayShots, &h.WeekendShots
		if h.WeekdayShots == 0 && textOf(member(habit, weekdayShots)) == "" {
			weekday = nil
		}
		if h.WeekendShots == 0 && textOf(member(habit, weekendShots)) == "" {
			weekend = nil
		}
		h.SayShots(weekday, weekend)
	}
}

// Names of the two in a file.
const (
	weekdayShots = "weekday_shots"
	weekendShots = "weekend_shots"
)

// saysNought reports whether 0 in a field of a habit is to be written, since left out it
// would be taken otherwise.
func saysNought(of any, name string) bool {
	h, ok := of.(record.Habit)
	weekday, _ := h.SaidShots()
	return ok && (name == weekdayShots || name == weekendShots) && weekday != nil
}
