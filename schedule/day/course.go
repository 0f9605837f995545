package day

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// GaugeCourse is a gauge over time, with the services that started it anew.
type GaugeCourse struct {
	Name     string             `json:"name"`
	Unit     string             `json:"unit"`
	Driver   care.Driver        `json:"driver"`
	Limit    figure.Percentiles `json:"limit"` // in the unit
	Reading  figure.Percentiles `json:"reading"`
	Amount   figure.Percentiles `json:"amount"`
	Window   wear.Window        `json:"-"`
	Points   []wear.CoursePoint `json:"points"` // what is to come is if nothing is done
	Services []CourseService    `json:"services"`
}

// CourseService is a service on a course, and what it found.
type CourseService struct {
	On      record.Date `json:"on"`
	Record  int64       `json:"record"`
	Finding string      `json:"finding,omitempty"`
	Grams   float64     `json:"grams,omitempty"`
	Left    float64     `json:"left,omitempty"` // share that it left in place
}

// Courses returns the gauges of a task over time; none where it has no gauge that
// moves by itself, or where the opener asks for none. The name may be as much of the task's id as no other shares.
func (f *Forecast) Courses(task string) ([]GaugeCourse, error) {
	duty, err := f.Day.Duty(task)
	if err != nil {
		return nil, err
	}
	if f.Day.rests(duty) != "" {
		return nil, nil
	}
	outcome, err := f.Outcome(duty.ID)
	if err != nil {
		return nil, err
	}
	var services []CourseService
	for _, s := range ServicesOf(f.Day.Book, duty) {
		services = append(services, CourseService{On: s.On, Record: s.ID, Finding: string(s.Body.Finding), Grams: s.Body.Grams, Left: s.Body.Left})
	}
	var courses []GaugeCourse
	for _, g := range outcome.Gauges {
		if len(g.Course) == 0 {
			continue
		}
		c := GaugeCourse{Name: g.Gauge.Name, Unit: g.Gauge.Unit, Driver: g.Gauge.Driver, Limit: g.Gauge.Limit.Percentiles(), Reading: g.Reading, Amount: g.Amount, Window: g.Window, Points: g.Course}
		for _, s := range services {
			if s.On >= g.Course[0].On {
				c.Services = append(c.Services, s)
			}
		}
		courses = append(courses, c)
	}
	return courses, nil
}
