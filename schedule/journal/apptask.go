package journal

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/base32"
	"slices"
	"strings"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// NewTask is a to-do of an app's own that is to become a task of the owner's.
type NewTask struct {
	UID        string
	Name       string      // last part of its address
	Title      string      // its summary
	Details    string      // its description
	Categories []string    // may name the equipment it is about
	Due        record.Date // today where zero
	EveryDays  float64     // 0 for once
	Times      int         // of what comes again, how often in all; 0 for no end
	Until      record.Date // and the last day; 0 for no end
}

// TakeAppTask makes a task of the owner's own of a to-do that an app sent, or
// changes the one it made of it before. It tells whether that was anything new.
func (j *Journal) TakeAppTask(ctx context.Context, d *day.Day, t NewTask) (Receipt, bool, error) {
	sum := sha256.Sum256([]byte(t.UID))
	task := record.AppTask{
		ID:  record.AppTaskMark + strings.ToLower(base32.StdEncoding.WithPadding(base32.NoPadding).EncodeToString(sum[:10])),
		UID: t.UID, Name: t.Name, Title: cmp.Or(strings.Join(strings.Fields(t.Title), " "), "Task without a name"), Details: t.Details,
		Due: t.Due, EveryDays: t.EveryDays, Times: t.Times, Until: t.Until, Equipment: aboutEquipment(d.Book, t.Categories),
	}
	if task.Due == 0 {
		task.Due = d.Today
	}
	tasks := d.Book.AppTasks()
	known := slices.IndexFunc(tasks, func(k record.Dated[record.AppTask]) bool { return k.Body.ID == task.ID })
	if known >= 0 {
		was := tasks[known]
		// Its name and what it is about stay, since its history hangs on them.
		task.Name, task.Equipment = was.Body.Name, was.Body.Equipment
		if task == was.Body {
			return Receipt{Record: was.ID, On: was.On, What: task.Title}, false, nil
		}
	}
	if task.Equipment == "" {
		return Receipt{}, false, &record.FieldError{Field: "equipment", Want: "a machine or something else set up at the place"}
	}
	if err := task.Validate(); err != nil {
		return Receipt{}, false, err
	}
	written, err := j.write(ctx, d, d.Today, task, task.Title)
	return written, true, err
}

// DropAppTask writes down that an app deleted a task that came from it, or with
// false that it is back. It reports whether that changed anything: a task that
// came from no app is left alone.
func (j *Journal) DropAppTask(ctx context.Context, d *day.Day, task string, dropped bool) (bool, error) {
	t, ok := d.Book.AppTask(func(t record.AppTask) bool { return t.TaskID() == task })
	if !ok || t.Dropped == dropped {
		return false, nil
	}
	t.Dropped = dropped
	what := t.Title + " is dropped"
	if !dropped {
		what = t.Title + " is back"
	}
	_, err := j.write(ctx, d, d.Today, t, what)
	return err == nil, err
}

// aboutEquipment is the equipment that a category names, else a machine, else
// anything there is.
func aboutEquipment(book *record.Book, categories []string) string {
	all := book.Equipment()
	for _, c := range categories {
		for _, e := range all {
			if strings.EqualFold(c, e.ID) || strings.EqualFold(c, e.Title()) {
				return e.ID
			}
		}
	}
	first := ""
	for _, e := range all {
		if e.Machine != nil {
			return e.ID
		}
		first = cmp.Or(first, e.ID)
	}
	return first
}
