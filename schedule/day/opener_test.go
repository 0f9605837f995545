package day_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

func TestOpenFindsPlaceAndDay(t *testing.T) {
	ctx := context.Background()
	one, _ := sample.New(t)
	two, _ := sample.New(t)
	for _, d := range []*sample.Kitchen{one, two} {
		if _, err := d.Journal.SetUp(ctx, today, sample.Home()); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := two.Journal.SetUp(ctx, today, sample.Lever()); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name    string
		kitchen *sample.Kitchen
		given   schedule.Moment
		clock   time.Time
		want    schedule.Moment
	}{
		{"the only place and its own today", one, schedule.Moment{}, noon, schedule.Moment{Place: "home", Today: today}},
		{"just before midnight there", one, schedule.Moment{}, time.Date(2026, 3, 2, 22, 59, 59, 0, time.UTC), schedule.Moment{Place: "home", Today: today}},
		{"just after midnight there", one, schedule.Moment{}, time.Date(2026, 3, 2, 23, 0, 0, 0, time.UTC), schedule.Moment{Place: "home", Today: today + 1}},
		{"a day that was given", one, schedule.Moment{Today: today - 7}, noon, schedule.Moment{Place: "home", Today: today - 7}},
		{"one of two", two, schedule.Moment{Place: "hut"}, time.Date(2026, 3, 2, 18, 29, 0, 0, time.UTC), schedule.Moment{Place: "hut", Today: today}},
		{"one of two, after midnight there", two, schedule.Moment{Place: "hut"}, time.Date(2026, 3, 2, 18, 30, 0, 0, time.UTC), schedule.Moment{Place: "hut", Today: today + 1}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			test.kitchen.Now = func() time.Time { return test.clock }
			d := test.kitchen.Day(t, test.given)
			if got := d.Moment(); got != test.want {
				t.Errorf("got %+v, want %+v", got, test.want)
			}
		})
	}

	var field *record.FieldError
	if _, err := two.Open(ctx, schedule.Moment{}); !errors.As(err, &field) || field.Field != "place" {
		t.Errorf("which of two places is not said: %v", err)
	}
	if _, err := two.Open(ctx, schedule.Moment{Place: "bar"}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("a place that is none: %v", err)
	}
	none, _ := sample.Empty(t)
	if _, err := none.Open(ctx, schedule.Moment{Place: "home"}); !errors.Is(err, schedule.ErrNoPlace) {
		t.Errorf("nothing set up: %v", err)
	}
}

func TestZone(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Home(), sample.Lever())
	if zone := d.Day(t, schedule.Moment{Place: "hut"}).Zone; zone.String() != "Asia/Kolkata" {
		t.Errorf("got %v", zone)
	}
}

// Every question and everything that is written begins with opening a day, which
// passes on what the records say, and asks nothing of a place before it was
// there.
func TestOpenPassesErrorsOn(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	ctx := context.Background()
	if _, err := d.Open(ctx, schedule.Moment{Today: bought - 1}); err == nil {
		t.Error("a day opens before anything was there")
	}
	if _, err := d.Open(ctx, schedule.Moment{Place: "elsewhere", Today: today}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("another place: %v", err)
	}
	opened := d.Day(t, at)
	before := records.Count()
	records.Fails = errors.New("the disk is gone")
	for name, ask := range map[string]func() error{
		"open":    func() error { _, err := d.Open(ctx, at); return err },
		"agenda":  func() error { _, err := d.Publisher.Preview(ctx, at); return err },
		"publish": func() error { _, err := d.Publisher.Publish(ctx, at); return err },
		"history": func() error { _, err := opened.History(ctx); return err },
		"line":    func() error { _, err := opened.HistoryLine(ctx, 1); return err },
		"after":   func() error { _, err := opened.After(ctx); return err },
		"void":    func() error { _, err := d.Journal.Void(ctx, opened, 1, ""); return err },
		"done": func() error {
			_, err := d.Journal.Done(ctx, opened, 0, record.Service{Task: "group-gasket"})
			return err
		},
		"use": func() error {
			_, err := d.Journal.AddUse(ctx, opened, journal.UseEntry{Sum: record.UseRow{Shots: 1}})
			return err
		},
		"import": func() error {
			_, err := d.Journal.ImportUse(ctx, opened, schedule.UseFile{Name: "log.csv"}, sample.Sequence(nil, nil))
			return err
		},
		"test": func() error {
			_, err := d.Journal.AddWaterTest(ctx, opened, 0, record.WaterTest{Test: sample.DropTest(14, 11)})
			return err
		},
	} {
		if err := ask(); !errors.Is(err, records.Fails) {
			t.Errorf("%s hides what the store said: %v", name, err)
		}
	}
	if records.Count() != before {
		t.Errorf("%d records were written", records.Count()-before)
	}
}

// A day is opened with one look at the records, whether it is named or left to the
// clock; nothing that is asked of it looks again.
func TestOpenReadsOnce(t *testing.T) {
	for _, m := range []schedule.Moment{{}, at} {
		d, records := sample.LivedIn(t)
		before := records.Reads
		f := d.Forecast(t, m)
		f.Due()
		f.Plan()
		f.Stock()
		f.Day.Tasks()
		if n := records.Reads - before; n != 1 {
			t.Errorf("%+v: the book was read %d times, want once", m, n)
		}
	}
}

// What anybody writes down afterwards is read alone, not the book again, and the day is
// as one that is opened for the first time: use, what is taken back, the next day.
func TestOpenReadsWhatIsNew(t *testing.T) {
	d, records := sample.LivedIn(t)
	ctx := context.Background()
	first := d.Day(t, schedule.Moment{})
	books := records.Books
	write := func(body record.Body, on record.Date) int64 {
		t.Helper()
		ids, err := records.Append(ctx, record.Entry{Place: first.Place.ID, Effective: on, Entered: noon, Source: "test", Body: body})
		if err != nil {
			t.Fatal(err)
		}
		return ids[0]
	}
	service := record.Service{Task: "bench/group-gasket/group"}
	var batch int64
	for _, step := range []struct {
		what  string
		write func()
	}{
		{"a service", func() { write(service, first.Today) }},
		{"use", func() {
			receipt, err := d.Journal.AddUse(ctx, first, journal.UseEntry{Sum: record.UseRow{Date: first.Today, Minute: -1, Shots: 7}})
			if err != nil {
				t.Fatal(err)
			}
			batch = receipt.Record
		}},
		{"a service to come", func() { write(service, first.Today+3) }},
		{"use taken back", func() { write(record.Void{Record: batch}, 0) }},
		{"the night", func() { d.Now = func() time.Time { return noon.AddDate(0, 0, 4) } }},
	} {
		step.write()
		grown := d.Day(t, schedule.Moment{})
		if records.Books != books {
			t.Fatalf("after %s the book was read whole", step.what)
		}
		anew := &day.Opener{Records: records, Catalogue: d.Catalogue, Now: d.Now}
		want, err := anew.Open(ctx, schedule.Moment{})
		if err != nil {
			t.Fatal(err)
		}
		books = records.Books
		if diff := cmp.Diff([]any{want.Today, want.Book.Entries, want.Book.Days}, []any{grown.Today, grown.Book.Entries, grown.Book.Days}, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("after %s the book differs from one that is read anew (-anew +grown):\n%s", step.what, diff)
		}
	}
}

// What was written down is on the day after it without another look at the
// records; with what others wrote meanwhile it takes one.
func TestAfterReadsNothing(t *testing.T) {
	d, records := sample.SetUp(t, sample.Lever())
	ctx := context.Background()
	write := func() record.Entry {
		entry := record.Entry{Place: "hut", Effective: today, Entered: noon, Source: "test", Body: record.Service{Task: "lever/soak-screen/group"}}
		ids, err := records.Append(ctx, entry)
		if err != nil {
			t.Fatal(err)
		}
		entry.ID = ids[0]
		return entry
	}
	for reads, others := range []int{0, 1} {
		opened := d.Day(t, at)
		entry, before := write(), records.Reads
		for range others {
			write()
		}
		after, err := opened.After(ctx, entry)
		if err != nil {
			t.Fatal(err)
		}
		if n := records.Reads - before; n != reads {
			t.Errorf("%d others wrote: the book was read %d times, want %d", others, n, reads)
		}
		if got, want := len(after.Book.Services("lever/soak-screen/group")), len(opened.Book.Services("lever/soak-screen/group"))+1+others; got != want {
			t.Errorf("%d others wrote: %d services, want %d", others, got, want)
		}
		if d.Day(t, at) != after {
			t.Error("the day after is worked out again")
		}
	}
}
