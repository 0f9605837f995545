package journal

import (
	"context"
	"fmt"
	"strconv"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/water/figure"
)

// AddMeterReading writes down what the water meter of a line showed at the end
// of a day. The line may be left empty where the place has just one. A reading
// that does not fit those before and after it is a *record.FieldError.
func (j *Journal) AddMeterReading(ctx context.Context, d *day.Day, on record.Date, r record.MeterReading) (Receipt, error) {
	line, err := day.Pick(d.Book, r.Line, "water line", func(e record.Equipment) bool { return e.Line != nil })
	if err != nil {
		return Receipt{}, err
	}
	r.Line = line.ID
	if err := r.Validate(); err != nil {
		return Receipt{}, err
	}
	if on, err = settleDay(d.Today, on, line); err != nil {
		return Receipt{}, err
	}
	before, after := around(d.Book.MeterReadings(line.ID), on)
	what := "meter reading of " + line.ID
	if before != nil {
		litres, err := record.MeteredLitres(before.Body, r)
		if err != nil {
			return Receipt{}, err
		}
		if days := float64(max(1, on-before.On)); litres > days*record.MostMeteredLitresPerDay {
			return Receipt{}, &record.FieldError{Field: "litres", Value: strconv.FormatFloat(r.Litres, 'f', -1, 64),
				Want: fmt.Sprintf("a reading that the water can have reached: since %s it would be %s litres a day, more than a pipe lets through", before.On, figure.Rough(litres/days))}
		}
		what = fmt.Sprintf("meter reading of %s: %s litres since %s", line.ID, figure.Rough(litres), before.On)
	}
	if after != nil {
		if _, err := record.MeteredLitres(r, after.Body); err != nil {
			return Receipt{}, &record.FieldError{Field: "litres", Value: fmt.Sprint(r.Litres),
				Want: fmt.Sprintf("at most the %.10g of %s, or what a new meter showed when it was fitted", after.Body.Litres, after.On)}
		}
	}
	return j.write(ctx, d, on, r, what)
}

// around gives the last reading before a day and the first after it; nil where
// there is none. Another reading of the day itself is taken to be replaced.
func around(readings []record.Dated[record.MeterReading], on record.Date) (before, after *record.Dated[record.MeterReading]) {
	for i := range readings {
		switch r := &readings[i]; {
		case r.On < on:
			before = r
		case r.On > on && after == nil:
			after = r
		}
	}
	return before, after
}

// AddBag writes down that a bag of coffee was finished on a day. The grinder may
// be left empty where the place has just one.
func (j *Journal) AddBag(ctx context.Context, d *day.Day, on record.Date, b record.Bag) (Receipt, error) {
	grinder, err := day.Pick(d.Book, b.Grinder, "grinder", func(e record.Equipment) bool { return e.Grinder != nil })
	if err != nil {
		return Receipt{}, err
	}
	b.Grinder = grinder.ID
	if err := b.Validate(); err != nil {
		return Receipt{}, err
	}
	if on, err = settleDay(d.Today, on, grinder); err != nil {
		return Receipt{}, err
	}
	if !b.Opened.IsZero() {
		if b.Opened > on {
			return Receipt{}, &record.FieldError{Field: "opened", Value: b.Opened.String(), Want: "a day not after the one it was finished on, " + on.String()}
		}
		if err := day.NotBefore("opened", b.Opened, grinder); err != nil {
			return Receipt{}, err
		}
	}
	return j.write(ctx, d, on, b, say.Bag(b))
}
