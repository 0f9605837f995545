package day

import (
	"fmt"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// Alarm is something dangerous or wrong at a place that cannot wait for a sitting.
type Alarm struct {
	Task  string `json:"task,omitempty"` // that puts it right; empty where none does
	Title string `json:"title,omitempty"`
	Name  string `json:"equipment_name,omitempty"`
	Says  string `json:"says"`
}

// Alarms lists what is dangerous or wrong, the worst first: what Warnings says, scale
// that a service found and left for a workshop, and work that is past its likely date
// and that somebody's safety hangs on. Empty for none.
func (f *Forecast) Alarms() []Alarm {
	alarms := []Alarm{}
	for _, w := range f.Warnings() {
		alarms = append(alarms, Alarm{Says: w})
	}
	for _, x := range f.outcomes {
		if found, ok := leftForWorkshop(f.Day.Book, x.Duty); ok {
			alarms = append(alarms, Alarm{Task: x.Duty.ID, Title: x.Duty.Title, Name: x.Duty.Equipment.Title(),
				Says: fmt.Sprintf("On %s it was %s, and some of it is still in there. No acid: a workshop must open it.", found.On.Long(), found.Body.Finding)})
		}
	}
	for _, d := range f.Due() {
		if duty, err := f.Day.Duty(d.Task); err == nil && d.Overdue && duty.Task.Safety {
			alarms = append(alarms, Alarm{Task: d.Task, Title: d.Title, Name: d.Name,
				Says: fmt.Sprintf("Past since %s. Somebody’s safety hangs on it.", d.Likely.Long())})
		}
	}
	return alarms
}

// leftForWorkshop returns the last service of a duty where it found crust or flakes
// and left some of it.
func leftForWorkshop(book *record.Book, duty care.Duty) (record.Dated[record.Service], bool) {
	services := ServicesOf(book, duty)
	if len(services) == 0 {
		return record.Dated[record.Service]{}, false
	}
	last := services[len(services)-1]
	return last, last.Body.Left > 0 && (last.Body.Finding == record.Crust || last.Body.Finding == record.Flakes)
}
