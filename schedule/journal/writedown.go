package journal

import (
	"context"
	"fmt"
	"slices"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water/inference"
)

// AddWaterTest writes a water test down. The line may be left empty where the
// place has just one.
func (j *Journal) AddWaterTest(ctx context.Context, d *day.Day, on record.Date, t record.WaterTest) (Receipt, error) {
	line, err := day.Pick(d.Book, t.Line, "water line", func(e record.Equipment) bool { return e.Line != nil })
	if err != nil {
		return Receipt{}, err
	}
	t.Line = line.ID
	if t.After != "" {
		stages := make([]string, len(line.Line.Treatment))
		for i, s := range line.Line.Treatment {
			stages[i] = s.ID
		}
		if !slices.Contains(stages, t.After) {
			return Receipt{}, &record.UnknownError{What: "treatment", Name: t.After, Known: stages}
		}
	}
	if err := t.Validate(); err != nil {
		return Receipt{}, err
	}
	// A test that no water explains must be caught now, not by the next forecast.
	if err := inference.Check(t.Test, inference.SetSize, plainUniform); err != nil {
		return Receipt{}, err
	}
	on, err = settleDay(d.Today, on, line)
	if err != nil {
		return Receipt{}, err
	}
	return j.write(ctx, d, on, t, "water test of "+line.ID)
}

// plainUniform spreads numbers evenly; good enough to ask whether any water
// explains a test.
func plainUniform(sample, dimension int) float64 {
	const golden = 0.6180339887498949
	x := float64(sample+1)*golden*float64(dimension*2+1) + float64(dimension)*0.7548776662466927
	return (x-float64(int64(x)))*0.998 + 0.001
}

// Done writes down that a task was done. Its name may be as much of the id as
// no other task shares.
func (j *Journal) Done(ctx context.Context, d *day.Day, on record.Date, s record.Service) (Receipt, error) {
	duty, err := d.Duty(s.Task)
	if err != nil {
		return Receipt{}, err
	}
	if duty.Task.TestsWater() {
		return Receipt{}, &record.FieldError{Field: "task", Value: s.Task, Want: fmt.Sprintf("the values themselves with %s: a test written down is a test done", d.Quote(day.ToDo(duty)))}
	}
	if duty.Task.Records != "" {
		return Receipt{}, &record.FieldError{Field: "task", Value: s.Task, Want: fmt.Sprintf("the reading itself with %s: a check written down is a check done", d.Quote(day.ToDo(duty)))}
	}
	s.Task = duty.ID
	if err := s.Validate(); err != nil {
		return Receipt{}, err
	}
	if s.Finding != "" {
		known := day.FindingsOf(duty.Task)
		if !slices.Contains(known, string(s.Finding)) {
			want := "no finding: this task records none"
			if len(known) > 0 {
				want = "one of " + record.OneOf(string(s.Finding), known)
			}
			return Receipt{}, &record.FieldError{Field: "finding", Value: string(s.Finding), Want: want}
		}
	}
	if s.Grams > 0 && duty.Task.Findings != care.FindsScale {
		return Receipt{}, &record.FieldError{Field: "grams", Value: fmt.Sprint(s.Grams), Want: "grams of scale for a descaling only"}
	}
	on, err = settleDay(d.Today, on, duty.Equipment)
	if err != nil {
		return Receipt{}, err
	}
	if on < duty.Fitted { // a cartridge may be younger than its line
		return Receipt{}, &record.FieldError{Field: "date", Value: on.String(), Want: fmt.Sprintf("a day not before %s was fitted, %s", duty.Part, duty.Fitted)}
	}
	what := duty.Title
	if s.Looked() { // a title says what is done, and nothing was
		what = fmt.Sprintf("only looked, not done: “%s”", duty.Title)
	}
	return j.write(ctx, d, on, s, what)
}

// Void writes down that a record was wrong from the start.
func (j *Journal) Void(ctx context.Context, d *day.Day, id int64, why string) (Receipt, error) {
	v := record.Void{Record: id, Why: why}
	if err := v.Validate(); err != nil {
		return Receipt{}, err
	}
	target, err := j.Days.Records.Find(ctx, id)
	if err != nil {
		return Receipt{}, err
	}
	if schedule.IsDistrictBook(target.Place) {
		return Receipt{}, &record.FieldError{Field: "record", Value: fmt.Sprint(id), Want: "a record of this place: this one counts for all places of its district"}
	}
	if why := day.Stays(target.Kind()); why != "" {
		return Receipt{}, &record.FieldError{Field: "record", Value: fmt.Sprint(id), Want: "a test, a use or a service: " + why}
	}
	return j.write(ctx, d, target.Effective, v, fmt.Sprintf("record %d is void", id))
}

// settleDay takes today for a day left open, and checks that the day has come
// and that the equipment was there.
func settleDay(today, on record.Date, e record.Equipment) (record.Date, error) {
	if on.IsZero() {
		on = today
	}
	if err := day.NotLater("date", on, today); err != nil {
		return on, err
	}
	return on, day.NotBefore("date", on, e)
}
