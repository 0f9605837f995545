package schedule_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

func TestSettle(t *testing.T) {
	ctx := context.Background()
	one, _ := newDesk(t)
	two, _ := newDesk(t)
	for _, d := range []*schedule.Desk{one, two} {
		if _, err := d.SetUp(ctx, today, home()); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := two.SetUp(ctx, today, lever()); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name  string
		desk  *schedule.Desk
		given schedule.Moment
		clock time.Time
		want  schedule.Moment
	}{
		{"the only place and its own today", one, schedule.Moment{}, noon, schedule.Moment{Place: "home", Today: today}},
		{"just before midnight there", one, schedule.Moment{}, time.Date(2026, 3, 2, 22, 59, 59, 0, time.UTC), schedule.Moment{Place: "home", Today: today}},
		{"just after midnight there", one, schedule.Moment{}, time.Date(2026, 3, 2, 23, 0, 0, 0, time.UTC), schedule.Moment{Place: "home", Today: today + 1}},
		{"a day that was given", one, schedule.Moment{Today: 5}, noon, schedule.Moment{Place: "home", Today: 5}},
		{"one of two", two, schedule.Moment{Place: "hut"}, time.Date(2026, 3, 2, 18, 29, 0, 0, time.UTC), schedule.Moment{Place: "hut", Today: today}},
		{"one of two, after midnight there", two, schedule.Moment{Place: "hut"}, time.Date(2026, 3, 2, 18, 30, 0, 0, time.UTC), schedule.Moment{Place: "hut", Today: today + 1}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			test.desk.Now = func() time.Time { return test.clock }
			got, err := test.desk.Settle(ctx, test.given)
			if err != nil || got != test.want {
				t.Errorf("got %+v, %v, want %+v", got, err, test.want)
			}
		})
	}

	var field *record.FieldError
	if _, err := two.Settle(ctx, schedule.Moment{}); !errors.As(err, &field) || field.Field != "place" {
		t.Errorf("which of two places is not said: %v", err)
	}
	if _, err := two.Settle(ctx, schedule.Moment{Place: "bar"}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("a place that is none: %v", err)
	}
	none, _ := desk(t)
	if _, err := none.Settle(ctx, schedule.Moment{Place: "home"}); !errors.Is(err, schedule.ErrNoPlace) {
		t.Errorf("nothing set up: %v", err)
	}
}

func TestZone(t *testing.T) {
	d, _ := setUp(t, home(), lever())
	zone, err := d.Zone(context.Background(), schedule.Moment{Place: "hut"})
	if err != nil || zone.String() != "Asia/Kolkata" {
		t.Errorf("got %v, %v", zone, err)
	}
}

// Every use case passes on what the records say, and asks nothing of a place
// before it was there.
func TestUseCasesPassErrorsOn(t *testing.T) {
	d, records := setUp(t, home())
	ctx := context.Background()
	cases := map[string]func(schedule.Moment) error{
		"due":     func(m schedule.Moment) error { _, err := d.Due(ctx, m); return err },
		"why":     func(m schedule.Moment) error { _, err := d.Why(ctx, m, "group-gasket"); return err },
		"tasks":   func(m schedule.Moment) error { _, err := d.Tasks(ctx, m); return err },
		"agenda":  func(m schedule.Moment) error { _, err := d.Agenda(ctx, m); return err },
		"publish": func(m schedule.Moment) error { _, _, err := d.Publish(ctx, m); return err },
		"zone":    func(m schedule.Moment) error { _, err := d.Zone(ctx, m); return err },
		"done": func(m schedule.Moment) error {
			_, err := d.Done(ctx, m, 0, record.Service{Task: "group-gasket"})
			return err
		},
		"use": func(m schedule.Moment) error {
			_, err := d.AddUse(ctx, m, "", 0, 0, record.UseRow{Shots: 1}, "")
			return err
		},
		"import": func(m schedule.Moment) error {
			_, err := d.ImportUse(ctx, m, "", "log.csv", sequence(nil, nil))
			return err
		},
		"test": func(m schedule.Moment) error {
			_, err := d.AddWaterTest(ctx, m, 0, record.WaterTest{Test: dropTest(14, 11)})
			return err
		},
	}
	before := records.count()
	for name, ask := range cases {
		if err := ask(schedule.Moment{Today: bought - 1}); err == nil {
			t.Errorf("%s answers of a day before anything was there", name)
		}
		if err := ask(schedule.Moment{Place: "elsewhere", Today: today}); !errors.Is(err, record.ErrUnknown) {
			t.Errorf("%s of another place: %v", name, err)
		}
	}
	records.fails = errors.New("the disk is gone")
	cases["history"] = func(m schedule.Moment) error { _, err := d.History(ctx, m); return err }
	cases["void"] = func(m schedule.Moment) error { _, err := d.Void(ctx, m, 1, ""); return err }
	for name, ask := range cases {
		if err := ask(at); !errors.Is(err, records.fails) {
			t.Errorf("%s hides what the store said: %v", name, err)
		}
	}
	if records.count() != before {
		t.Errorf("%d records were written", records.count()-before)
	}
}
