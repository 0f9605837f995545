package day

import "fmt"

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
		if found, ok := LastCrust(ServicesOf(f.Day.Book, x.Duty)); ok && found.Body.Left > 0 {
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

// alarmCount returns how many Alarms there are, without their sentences.
func (f *Forecast) alarmCount() int {
	n := len(f.Warnings())
	for _, x := range f.outcomes {
		if found, ok := LastCrust(ServicesOf(f.Day.Book, x.Duty)); ok && found.Body.Left > 0 {
			n++
		}
		if likely := x.Window.Likely; x.Duty.Task.Safety && !likely.IsZero() && likely < f.Day.Today {
			n++
		}
	}
	return n
}
