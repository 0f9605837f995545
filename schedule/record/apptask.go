package record

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// AppTask is a task of the owner's own that came from a task app. Of the
// records with one id the last one holds.
type AppTask struct {
	ID        string  `json:"id"`        // app- and something made of the UID
	UID       string  `json:"uid"`       // of the to-do as the app sent it
	Name      string  `json:"name"`      // last part of the address that the app gave it
	Equipment string  `json:"equipment"` // what it is taken to be about
	Title     string  `json:"title"`
	Details   string  `json:"details,omitempty"`
	Due       Date    `json:"due"`
	EveryDays float64 `json:"every_days,omitempty"` // it comes again so long after it was done; 0 for once
	Times     int     `json:"times,omitempty"`      // of what comes again, how often in all; 0 for no end
	Until     Date    `json:"until,omitempty"`      // and the last day on which it comes; 0 for no end
	Dropped   bool    `json:"dropped,omitempty"`    // the app deleted it again
}

// appTaskID is how the id of one is written; made when the first is checked.
var appTaskID = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^app-[a-z0-9]{4,30}$`) })

// Validate checks lengths and figures.
func (t AppTask) Validate() error {
	named := func(field, value string) error {
		return AllOf(required(field, value, "some text"), name(field, value, 500))
	}
	return AllOf(
		refuse(!appTaskID().MatchString(t.ID), "id", t.ID, "app- and 4 to 30 letters and digits"),
		named("uid", t.UID),
		named("name", t.Name),
		named("equipment", t.Equipment),
		named("title", t.Title),
		text("details", t.Details, 4000),
		refuse(t.Due <= 0, "due", "", "the day it is due"),
		optional("every_days", t.EveryDays, 1, 7305, "days"),
		refuse(t.Times < 0, "times", t.Times, "0 for no end, or how often it comes"),
		refuse(t.Until < 0, "until", t.Until, "no day for no end, or the last day on which it comes"),
	)
}

// Ends reports whether it does not come again, now that it was done so many times,
// the last time on a day.
func (t AppTask) Ends(times int, last Date) bool {
	switch {
	case times == 0:
		return false
	case t.EveryDays == 0, t.Times > 0 && times >= t.Times:
		return true
	}
	return t.Until > 0 && last+Date(math.Round(t.EveryDays)) > t.Until
}

func (AppTask) kind() Kind { return KindAppTask }

// AppTasks returns the tasks that came from task apps and were not dropped, by id.
func (b *Book) AppTasks() []Dated[AppTask] {
	last := map[string]Dated[AppTask]{}
	for _, t := range all(b, func(AppTask) bool { return true }) {
		if t.ID > last[t.Body.ID].ID { // by when they were said
			last[t.Body.ID] = t
		}
	}
	var tasks []Dated[AppTask]
	for _, t := range last {
		if !t.Body.Dropped {
			tasks = append(tasks, t)
		}
	}
	slices.SortFunc(tasks, func(a, b Dated[AppTask]) int { return strings.Compare(a.Body.ID, b.Body.ID) })
	return tasks
}

// AppTask returns what was said last of the task that fits, dropped or not; false
// where none does.
func (b *Book) AppTask(fits func(AppTask) bool) (AppTask, bool) {
	last := Dated[AppTask]{}
	for _, t := range all(b, fits) {
		if t.ID > last.ID {
			last = t
		}
	}
	return last.Body, last.ID != 0
}

// AppTaskMark begins the ids of tasks that came from task apps.
const AppTaskMark = "app-"

// TaskID returns the whole id of the task, with the equipment that it is of.
func (t AppTask) TaskID() string { return t.Equipment + "/" + t.ID }
