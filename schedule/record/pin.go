package record

// Pin is where the owner wants the next turn of a task: on a day, or not before
// one. It holds until the task is done, or another pin of the task follows.
type Pin struct {
	Task   string `json:"task"`             // id of the task, equipment first
	Served int64  `json:"served,omitempty"` // record of its last service when it was pinned, 0 for none
	On     Date   `json:"on,omitzero"`      // on this day
	After  Date   `json:"after,omitzero"`   // on any day after this one
	Free   bool   `json:"free,omitempty"`   // wherever the plan puts it: an earlier pin holds no more
	Note   string `json:"note,omitempty"`
}

// Validate checks that the pin says one thing.
func (p Pin) Validate() error {
	one := justOne(p.On != 0, p.After != 0, p.Free) && p.On >= 0 && p.After >= 0
	return AllOf(
		refuse(p.Task == "", "task", "", "the id of a task"),
		refuse(!one, "pin", "", "one of a day, a day it must come after, or that it is free again"),
		text("note", p.Note, 1000),
	)
}

func (Pin) kind() Kind { return KindPin }

// Pin returns the pin of a task that still holds: the last one, if the task was
// not done since; false where there is none.
func (b *Book) Pin(task string, served int64) (Pin, bool) {
	pins := all(b, func(p Pin) bool { return p.Task == task })
	last := Dated[Pin]{}
	for _, p := range pins {
		if p.ID > last.ID { // by when they were said, whatever day they were dated
			last = p
		}
	}
	return last.Body, last.ID != 0 && !last.Body.Free && last.Body.Served == served
}
