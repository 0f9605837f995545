package journal

import (
	"context"
	"slices"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Change makes the records say what a place is to be: what is known of it on a day,
// changed by a function, with what may be left out filled in. It is SetUp for those who
// change one thing. The function may put other values into the setup and must not
// change what they point at, which is the day's own.
func (j *Journal) Change(ctx context.Context, d *day.Day, change func(*schedule.Setup)) (Changed, error) {
	s := SetupOf(d)
	change(&s)
	return j.SetUp(ctx, d.Today, schedule.FillIn(s))
}

// SetupOf returns a place as it is known on a day, in the form in which it is set up.
func SetupOf(d *day.Day) schedule.Setup {
	own := d.Book.OwnCare().Body
	own.Changes, own.Tasks = slices.Clone(own.Changes), slices.Clone(own.Tasks)
	return schedule.Setup{Place: d.Place, Equipment: slices.Clone(d.Book.Equipment()), Care: own}
}

// Retire takes equipment out of a place from a day on. Its history stays; what the
// owner changed of its care goes with it, and grinders no longer serve it.
func (j *Journal) Retire(ctx context.Context, d *day.Day, id string) (Changed, error) {
	if _, err := d.Book.Find(id); err != nil {
		return Changed{}, err
	}
	return j.Change(ctx, d, func(s *schedule.Setup) {
		s.Equipment = slices.DeleteFunc(s.Equipment, func(e record.Equipment) bool { return e.ID == id })
		for i, e := range s.Equipment {
			if e.Grinder == nil || !slices.Contains(e.Grinder.Serves, id) {
				continue
			}
			grinder := *e.Grinder
			grinder.Serves = slices.DeleteFunc(slices.Clone(grinder.Serves), func(machine string) bool { return machine == id })
			s.Equipment[i].Grinder = &grinder
		}
		s.Care.Tasks = slices.DeleteFunc(s.Care.Tasks, func(t record.OwnTask) bool { return t.Equipment == id })
		s.Care.Changes = slices.DeleteFunc(s.Care.Changes, func(c record.CareChange) bool { return strings.HasPrefix(c.Task, id+"/") })
	})
}
