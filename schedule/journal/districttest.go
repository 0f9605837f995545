package journal

import (
	"context"
	"fmt"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water/inference"
)

// AddDistrictTest writes a test of a district's water down, once for all places on it.
// Today is the day it is told on; the test is of today where on is zero.
func (j *Journal) AddDistrictTest(ctx context.Context, today, on record.Date, t record.WaterTest) (Receipt, error) {
	if err := record.AllOf(t.Validate(), day.NotLater("date", on, today)); err != nil {
		return Receipt{}, err
	}
	if t.District == "" {
		return Receipt{}, &record.FieldError{Field: "district", Want: "the id of a water district, as places name it"}
	}
	if err := inference.Check(t.Test, inference.SetSize, plainUniform); err != nil {
		return Receipt{}, err
	}
	if on.IsZero() {
		on = today
	}
	return j.keep(ctx, j.entry(schedule.DistrictBook(t.District), on, t), "water test of the district "+t.District)
}

// VoidDistrictTest writes down that a test of a district's water was wrong from the start,
// for all places on it. That of a place is void by Void, which whoever looks after a
// single place may use: this one is for who has them all.
func (j *Journal) VoidDistrictTest(ctx context.Context, id int64, why string) (Receipt, error) {
	v := record.Void{Record: id, Why: why}
	if err := v.Validate(); err != nil {
		return Receipt{}, err
	}
	target, err := j.Days.Records.Find(ctx, id)
	if err != nil {
		return Receipt{}, err
	}
	if !schedule.IsDistrictBook(target.Place) || target.Kind() != record.KindWaterTest {
		return Receipt{}, &record.FieldError{Field: "record", Value: fmt.Sprint(id), Want: "the number of a district's water test"}
	}
	return j.keep(ctx, j.entry(target.Place, target.Effective, v), fmt.Sprintf("record %d is void", id))
}
