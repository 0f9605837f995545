package day_test

import (
	"context"
	"errors"
	"sync"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/sample"
)

// All who ask at once get the one day and the one forecast of it.
func TestForecastSideBySideIsWorkedOutOnce(t *testing.T) {
	desk, records := sample.LivedIn(t)
	before := records.Reads
	const askers = 20
	got := make([]*day.Forecast, askers)
	var wait sync.WaitGroup
	for i := range askers {
		wait.Go(func() {
			d, err := desk.Open(t.Context(), schedule.Moment{})
			if err != nil {
				t.Error(err)
				return
			}
			if got[i], err = d.Forecast(t.Context()); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	for _, f := range got {
		if f == nil || f != got[0] {
			t.Fatal("two of those who asked at once got forecasts of their own")
		}
	}
	if n := records.Reads - before; n > 1 {
		t.Errorf("the book was read %d times", n)
	}
}

// A forecast ends with the context of the only one who asked, and whoever asks
// next gets one that is not given up.
func TestForecastGivenUp(t *testing.T) {
	desk, _ := sample.LivedIn(t)
	enough := errors.New("the one who asked has left")
	ctx, leave := context.WithCancelCause(t.Context())
	leave(enough)
	d := desk.Day(t, schedule.Moment{})
	if _, err := d.Forecast(ctx); !errors.Is(err, enough) {
		t.Errorf("a forecast for nobody ended with %v", err)
	}
	if f, err := d.Forecast(t.Context()); err != nil || f == nil {
		t.Errorf("the next one who asked got %v, %v", f, err)
	}
}

// One who leaves takes nothing from those who still wait.
func TestForecastSideBySideOneLeaves(t *testing.T) {
	desk, _ := sample.LivedIn(t)
	d := desk.Day(t, schedule.Moment{})
	ctx, leave := context.WithCancel(t.Context())
	var wait sync.WaitGroup
	wait.Go(func() { _, _ = d.Forecast(ctx) })
	wait.Go(func() {
		if f, err := d.Forecast(t.Context()); err != nil || f == nil {
			t.Errorf("who stayed got %v, %v", f, err)
		}
	})
	leave()
	wait.Wait()
}
