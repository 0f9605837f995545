package placeform

import (
	"fmt"
	"slices"
	"strings"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// OwnTasks returns the fields of tasks of the owner's own, and of one more.
func OwnTasks(tasks []record.OwnTask, around Around) []form.Field {
	w := writer{around: around}
	return list("tasks", tasks, wording.AnotherTask, func(prefix string, t record.OwnTask, _ bool) (string, []form.Field) {
		return t.Title, w.fields(prefix, "OwnTask", map[string]any{
			"title": t.Title, "equipment": t.Equipment, "months": t.Months, "days": t.Days, "driver": t.Driver, "limit": t.Limit, "minutes": t.Minutes, "cautions": t.Cautions, "steps": t.Steps, "note": t.Note,
		}, "title", "equipment", "months", "days", "driver", "limit", "minutes", "cautions", "steps", "note")
	})
}

// ReadOwnTasks returns the tasks with what was filled in. One that is new gets an id
// after its title that none of the others has.
func ReadOwnTasks(s *form.Form, tasks []record.OwnTask) []record.OwnTask {
	r := reader{form: s, id: "care"}
	all := readList(&r, "tasks", "tasks", tasks, func(prefix, at string, t *record.OwnTask) {
		r.into(prefix, at, map[string]any{
			"title": &t.Title, "equipment": &t.Equipment, "months": &t.Months, "days": &t.Days, "driver": &t.Driver, "limit": &t.Limit, "minutes": &t.Minutes, "cautions": &t.Cautions, "steps": &t.Steps, "note": &t.Note,
		})
	})
	for i := range all {
		if all[i].ID == "" {
			all[i].ID = idOf(all[i].Title, func(id string) bool {
				return slices.ContainsFunc(all, func(t record.OwnTask) bool { return t.ID == id }) || slices.ContainsFunc(tasks, func(t record.OwnTask) bool { return t.ID == id })
			})
		}
	}
	return all
}

// mostIDFromTitle is how much of a title an id takes.
const mostIDFromTitle = 30

// idOf makes an id of a title: its letters and digits of the English alphabet, with
// hyphens between its words, and a number behind it where it is taken.
func idOf(title string, taken func(string) bool) string {
	var b strings.Builder
	for _, r := range strings.ToLower(title) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= mostIDFromTitle {
			break
		}
	}
	id := "own-" + strings.Trim(b.String(), "-")
	if id == "own-" {
		id = "own-task"
	}
	for i, word := 2, id; taken(id); i++ {
		id = fmt.Sprintf("%s-%d", word, i)
	}
	return id
}
