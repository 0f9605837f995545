package web

import (
	"math"
	"strings"

	"limekeep/cmd/limekeep/web/picture"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water"
)

// writing is how dates and numbers stand on pictures.
var writing = picture.Writing{}

// windowPicture draws when a task falls due as a line of dates.
func windowPicture(id string, today record.Date, due day.Due) picture.Picture {
	w := picture.Window{ID: id, Title: wording.WhenItFallsDue, Today: today, Early: known(due.Early), Likely: known(due.Likely), Late: known(due.Late), Last: known(due.LastService)}
	switch {
	case due.Booked != nil:
		w.Planned = due.Booked.On
	case due.Visit != nil:
		w.Planned = *due.Visit
	case due.Sitting != nil:
		w.Planned = record.DateOf(*due.Sitting)
	}
	return w.Draw(writing)
}

func known(d *record.Date) record.Date {
	if d == nil {
		return 0
	}
	return *d
}

// gaugePicture draws a gauge over time, as shares of its limit.
func gaugePicture(id string, today record.Date, c day.GaugeCourse) picture.Picture {
	p := picture.Course{
		ID: id, Title: wording.OverTime(capital(c.Name)), Desc: wording.HowFarFromItsLimit,
		Unit: "%", Limit: 1, Limits: "limit", Today: today, Lines: []picture.Line{{Name: wording.OfItsLimit}},
	}
	until := courseEnd(today, c)
	for _, at := range c.Points {
		if at.On <= until {
			p.Lines[0].Points = append(p.Lines[0].Points, picture.Point{On: at.On, Low: at.Reading.Low, Likely: at.Reading.Likely, High: at.Reading.High, Fresh: at.Fresh})
		}
	}
	p.Marks = courseMarks(c)
	return p.Draw(writing)
}

// amountPicture draws what a gauge counts over time, in its own unit; what is counted as
// CaCO₃, in the owner's.
func amountPicture(id, title string, opened *day.Day, c day.GaugeCourse) picture.Picture {
	today, per := opened.Today, 1.0
	if told := hardnessFor(opened.Place); c.Unit == string(water.MgPerLCaCO3) && told.per != 1 {
		c.Unit, per = told.unit, told.per
	}
	p := picture.Course{
		ID: id, Title: title, Desc: wording.WithWhatWasDoneAndFound,
		Unit: c.Unit, Limit: per * c.Limit.Likely, Limits: wording.UsualLimitLine, Today: today, Lines: []picture.Line{{}},
	}
	until := courseEnd(today, c)
	for _, at := range c.Points {
		if at.On <= until {
			p.Lines[0].Points = append(p.Lines[0].Points, picture.Point{On: at.On, Low: per * at.Amount.Low, Likely: per * at.Amount.Likely, High: per * at.Amount.High, Fresh: at.Fresh})
		}
	}
	p.Marks = courseMarks(c)
	for i, s := range c.Services {
		if s.Grams > 0 && c.Unit == "g" {
			p.Marks[i].Value = s.Grams // what was found, beside what was forecast
		}
	}
	return p.Draw(writing)
}

// courseEnd is the day up to which a course is worth showing: a little after its
// late date, where it has one, and as long as its past at least.
func courseEnd(today record.Date, c day.GaugeCourse) record.Date {
	if len(c.Points) == 0 {
		return today
	}
	last := c.Points[len(c.Points)-1].On
	for _, d := range []record.Date{c.Window.Late, c.Window.Likely, c.Window.Early} {
		if !d.IsZero() {
			return min(last, max(d, today)+max((d-c.Points[0].On)/8, 30))
		}
	}
	const twoYears = 730
	return min(last, today+max(today-c.Points[0].On, twoYears)) // nothing is in sight
}

// courseMarks are the services of a course and what they found.
func courseMarks(c day.GaugeCourse) []picture.Mark {
	var marks []picture.Mark
	for _, s := range c.Services {
		m := picture.Mark{On: s.On, Value: math.NaN(), Kind: picture.Served, Label: wording.Done}
		if s.Left > 0 {
			m.Label = wording.PartlyDone
		}
		var found []string
		if s.Finding != "" {
			found = append(found, s.Finding)
		}
		if s.Grams > 0 {
			found = append(found, wording.InGrams(s.Grams))
		}
		if len(found) > 0 {
			m.Kind, m.Label = picture.Found, strings.Join(found, ", ")
		}
		marks = append(marks, m)
	}
	return marks
}

// capital begins a text with a capital letter.
func capital(text string) string {
	for i, r := range text {
		if i == 0 {
			return strings.ToUpper(string(r)) + text[len(string(r)):]
		}
	}
	return text
}

// shotsPicture draws the whole weeks of a machine's use, and the seven days to come
// with their spread; nil where no week is over.
func shotsPicture(show day.UseShow) *picture.Picture {
	p := picture.Bars{ID: "shots-by-week", Title: wording.ShotsByWeek, Unit: wording.ShotsUnit}
	for _, week := range show.Periods {
		if week.To-week.From == 6 {
			p.Bars = append(p.Bars, picture.Bar{From: week.From, Value: week.Shots, Low: week.Shots, High: week.Shots})
		}
	}
	if len(p.Bars) == 0 {
		return nil
	}
	for _, ahead := range show.Forecast {
		if ahead.Days == 7 {
			p.Bars = append(p.Bars, picture.Bar{From: ahead.From, Value: ahead.Shots.Likely, Low: ahead.Shots.Low, High: ahead.Shots.High, ToCome: true})
		}
	}
	drawn := p.Draw(writing)
	return &drawn
}
