package day_test

import (
	"context"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// started returns a kitchen over records as a program that starts finds them: with
// nothing in memory but what was kept, where it keeps anything.
func started(t testing.TB, records *sample.Records, kept *sample.Derived, change ...func(*day.Opener)) *sample.Kitchen {
	t.Helper()
	k, _ := sample.New(t)
	k.Records = records
	if kept != nil {
		k.Derived, k.Program = kept, "a program"
	}
	for _, c := range change {
		c(k.Opener)
	}
	return k
}

// tools returns the records of a place with tools alone, whose forecast takes little.
func tools(t testing.TB) *sample.Records {
	t.Helper()
	s := sample.Home()
	s.Equipment = []record.Equipment{{ID: "tools", Bought: bought, RecordsFrom: bought, Tools: &record.Tools{Setting: record.Home, Have: []record.Tool{record.WeighingScale, record.Tamper, record.Thermometer}}}}
	_, records := sample.SetUp(t, s)
	return records
}

// told is all that is asked of a forecast, as text.
func told(t testing.TB, f *day.Forecast) string {
	t.Helper()
	var all []byte
	for _, answer := range []any{f.Due(), f.Plan(), f.Brief(), f.Warnings(), f.Assumed(), f.Orders(), f.Outcomes()} {
		text, err := json.Marshal(answer)
		if err != nil {
			t.Fatal(err)
		}
		all = append(append(all, text...), '\n')
	}
	return string(all)
}

// What a program that starts reads is to the bit what it would work out: in all that
// hangs on a forecast, of a day and of the plan as it goes out, with and without the
// course of gauges.
func TestKeptOutlookIsWhatWouldBeWorkedOut(t *testing.T) {
	_, records := sample.LivedIn(t)
	kept := &sample.Derived{}
	for _, courses := range []bool{true, false} {
		change := func(o *day.Opener) { o.Courses = courses }
		first := started(t, records, kept, change)
		worked := first.Forecast(t, at)
		published, err := worked.Published(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		first.Rest()
		before := kept.Missed
		again := started(t, records, kept, change)
		read := again.Forecast(t, at)
		readPublished, err := read.Published(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if kept.Missed != before || kept.Found == 0 {
			t.Errorf("with courses %v: %d of what was worked out before is not read", courses, kept.Missed-before)
		}
		if !reflect.DeepEqual(worked.Outcomes(), read.Outcomes()) {
			t.Errorf("with courses %v outcomes differ (-worked out +read)\n%s", courses, cmp.Diff(told(t, worked), told(t, read)))
		}
		for _, pair := range [][2]*day.Forecast{{worked, read}, {published, readPublished}} {
			if diff := cmp.Diff(told(t, pair[0]), told(t, pair[1])); diff != "" {
				t.Errorf("with courses %v answers differ (-worked out +read)\n%s", courses, diff)
			}
		}
	}
}

// The waters of a test that an earlier run worked out are to the bit what would be worked
// out, on any other day; and where they are damaged they are worked out.
func TestKeptWatersAreWhatWouldBeWorkedOut(t *testing.T) {
	_, records := sample.LivedIn(t)
	kept := &sample.Derived{}
	first := started(t, records, kept)
	first.Forecast(t, at)
	first.Rest()
	tomorrow := schedule.Moment{Today: today + 1}
	want := told(t, started(t, records, nil).Forecast(t, tomorrow))
	keys := kept.Keys()
	read := started(t, records, kept)
	found := kept.Found
	if got := told(t, read.Forecast(t, tomorrow)); got != want {
		t.Errorf("from kept waters (-want +got)\n%s", cmp.Diff(want, got))
	}
	read.Rest()
	if kept.Found == found || kept.Keys() != keys+2 {
		t.Errorf("%d waters were found, and %d things kept beside an outlook and a plan", kept.Found-found, kept.Keys()-keys-2)
	}
	kept.Damage(func(b []byte) []byte { return b[:len(b)/2] })
	if got := told(t, started(t, records, kept).Forecast(t, tomorrow)); got != want {
		t.Errorf("from damaged waters (-want +got)\n%s", cmp.Diff(want, got))
	}
}

// Whatever is asked in another way is worked out, not read.
func TestKeptOutlookIsOfItsSettings(t *testing.T) {
	records := tools(t)
	kept := &sample.Derived{}
	ask := func(m schedule.Moment, change ...func(*day.Opener)) (missed int) {
		before := kept.Missed
		k := started(t, records, kept, change...)
		k.Forecast(t, m)
		k.Rest()
		return kept.Missed - before
	}
	if ask(at) != 2 || ask(at) != 0 {
		t.Fatal("asked again it is not read")
	}
	const outlook, onlyPlan = 2, 1 // what has to be worked out
	for name, c := range map[string]struct {
		at     schedule.Moment
		change func(*day.Opener)
		missed int
	}{
		"another day":     {schedule.Moment{Today: today + 1}, func(*day.Opener) {}, outlook},
		"other worlds":    {at, func(o *day.Opener) { o.Worlds = 40 }, outlook},
		"another program": {at, func(o *day.Opener) { o.Program = "another" }, outlook},
		"no courses":      {at, func(o *day.Opener) { o.Courses = false }, 1}, // the same plan follows
		"more months":     {at, func(o *day.Opener) { o.PlanMonths = 20 }, onlyPlan},
		"more effort":     {at, func(o *day.Opener) { o.PlanEffort = 500_000 }, onlyPlan},
		"an engagement": {at, func(o *day.Opener) {
			o.Busy = func(context.Context, string, plan.Busy, *time.Location) ([]plan.Busy, error) {
				return []plan.Busy{{From: noon, To: noon.AddDate(0, 1, 0)}}, nil
			}
		}, onlyPlan},
	} {
		if missed := ask(c.at, c.change); missed != c.missed {
			t.Errorf("%s: %d things are worked out, want %d", name, missed, c.missed)
		}
		if missed := ask(c.at, c.change); missed != 0 {
			t.Errorf("%s, asked again: %d things are worked out", name, missed)
		}
	}
	nameless := func(o *day.Opener) { o.Program = "" }
	before := kept.Keys()
	if missed := ask(at, nameless); missed != 0 || kept.Keys() != before {
		t.Error("a program that cannot tell itself from others reads or keeps")
	}
}

// What is damaged is worked out anew, and kept again.
func TestDamagedOutlookIsMadeAnew(t *testing.T) {
	records := tools(t)
	kept := &sample.Derived{}
	first := started(t, records, kept)
	want := told(t, first.Forecast(t, at))
	first.Rest()
	for name, damage := range map[string]func([]byte) []byte{
		"cut short": func(b []byte) []byte { return b[:len(b)/2] },
		"empty":     func([]byte) []byte { return []byte{} },
		"too long":  func(b []byte) []byte { return append(b, 1) },
		"all ones": func(b []byte) []byte {
			for i := range b {
				b[i] = 0xff
			}
			return b
		},
	} {
		kept.Damage(damage)
		k := started(t, records, kept)
		if got := told(t, k.Forecast(t, at)); got != want {
			t.Errorf("%s: (-want +got)\n%s", name, cmp.Diff(want, got))
		}
		k.Rest()
		before := kept.Missed
		if got := told(t, started(t, records, kept).Forecast(t, at)); got != want || kept.Missed != before {
			t.Errorf("%s: what was made anew is not kept", name)
		}
	}
}

// Whatever is written down, of any kind and in any order, an outlook that was kept
// before is known by another key.
func TestEveryWriteMakesAnotherKey(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		k, _ := sample.SetUp(t, sample.Home())
		keys := map[any]bool{k.Day(t, at).OutlookKey(): true}
		for i, w := range rapid.SliceOfN(rapid.IntRange(0, len(anyWrites)-1), 1, 12).Draw(rt, "writes") {
			wrote, err := anyWrites[w](t.Context(), k, k.Day(t, at), i)
			if err != nil {
				rt.Fatal(err)
			}
			key := k.Day(t, at).OutlookKey()
			if wrote == keys[key] {
				rt.Fatalf("after write %d, of kind %d, the key is %v, which was there before: %v", i, w, key, keys[key])
			}
			keys[key] = true
		}
	})
}

// One write after the other, a program that reads what was kept says what one says that
// keeps nothing.
func TestNoWriteLeavesAnOutlookStale(t *testing.T) {
	records := tools(t)
	kept := &sample.Derived{}
	for i, write := range writesAnywhere {
		k := started(t, records, kept)
		d := k.Day(t, at)
		k.Forecast(t, at)
		if _, err := write(t.Context(), k, d, i); err != nil {
			t.Fatal(err)
		}
		k.Forecast(t, at)
		k.Rest()
		read, worked := told(t, started(t, records, kept).Forecast(t, at)), told(t, started(t, records, nil).Forecast(t, at))
		if read != worked {
			t.Fatalf("after write %d what is read is out of date (-worked out +read)\n%s", i, cmp.Diff(worked, read))
		}
	}
}

// write writes something down, and reports whether there was anything to write.
type write = func(ctx context.Context, k *sample.Kitchen, d *day.Day, i int) (bool, error)

// writesAnywhere are the ways in which something is written down of any place.
var writesAnywhere = []write{
	func(ctx context.Context, k *sample.Kitchen, d *day.Day, i int) (bool, error) {
		n := slices.IndexFunc(d.Duties, func(x care.Duty) bool { return x.Task.Records == "" && x.Task.Who == care.Owner })
		_, err := k.Journal.Done(ctx, d, today-record.Date(10*i), record.Service{Task: d.Duties[n].ID})
		return true, err
	},
	func(ctx context.Context, k *sample.Kitchen, d *day.Day, i int) (bool, error) { // whatever was done last is taken back
		last := d.Book.Entries[len(d.Book.Entries)-1]
		if _, ok := last.Body.(record.Service); !ok {
			return false, nil
		}
		_, err := k.Records.Append(ctx, record.Entry{Place: d.Place.ID, Effective: last.Effective, Entered: noon, Source: "test", Body: record.Void{Record: last.ID}})
		return true, err
	},
	func(ctx context.Context, k *sample.Kitchen, d *day.Day, i int) (bool, error) {
		place := d.Place
		place.Times = []record.PreferredTime{{When: fmt.Sprintf("0 %d * * SUN", 9+i), Minutes: 90}}
		_, err := k.Records.Append(ctx, record.Entry{Place: place.ID, Effective: today, Entered: noon, Source: "test", Body: place})
		return true, err
	},
	func(ctx context.Context, k *sample.Kitchen, d *day.Day, i int) (bool, error) {
		_, err := k.Records.Append(ctx, record.Entry{Place: d.Place.ID, Effective: today, Entered: noon, Source: "test", Body: record.Blocked{From: today + 3, To: today + record.Date(20+i)}})
		return true, err
	},
	func(ctx context.Context, k *sample.Kitchen, d *day.Day, i int) (bool, error) {
		_, err := k.Records.Append(ctx, record.Entry{Place: d.Place.ID, Effective: today, Entered: noon, Source: "test", Body: record.Publication{At: noon}})
		return true, err
	},
}

// anyWrites are the ways in which something is written down of a place with a machine.
var anyWrites = append(slices.Clone(writesAnywhere),
	func(ctx context.Context, k *sample.Kitchen, d *day.Day, i int) (bool, error) {
		_, err := k.Records.Append(ctx, record.Entry{Place: d.Place.ID, Effective: today - record.Date(i), Entered: noon, Source: "test", Body: record.WaterTest{Line: "tap", Test: sample.DropTest(float64(12+i), 10)}})
		return true, err
	},
	func(ctx context.Context, k *sample.Kitchen, d *day.Day, i int) (bool, error) {
		_, err := k.Journal.AddUse(ctx, d, journal.UseEntry{From: today - record.Date(20*i+13), To: today - record.Date(20*i+1), Sum: record.UseRow{Shots: 65 + float64(i)}})
		return true, err
	},
	func(ctx context.Context, k *sample.Kitchen, d *day.Day, i int) (bool, error) {
		_, err := k.Records.Append(ctx, record.Entry{Place: d.Place.ID, Effective: today - record.Date(i), Entered: noon, Source: "test", Body: d.Book.Equipment()[i%3]})
		return true, err
	},
)

// What a test of a district's water stands for is solved once for all places whose lines
// are laid out alike, and is to the bit what each would work out.
func TestKeptWatersOfADistrict(t *testing.T) {
	setups := []schedule.Setup{sample.Home(), sample.Home()}
	for i, id := range []string{"blue", "red"} {
		setups[i].Place.ID, setups[i].Place.District = id, "graz"
	}
	k, records := sample.SetUp(t, setups...)
	if _, err := k.Journal.AddDistrictTest(t.Context(), today, today-3, record.WaterTest{District: "graz", Test: sample.DropTest(18, 13)}); err != nil {
		t.Fatal(err)
	}
	kept := &sample.Derived{}
	waters := func(place string) int {
		all, err := kept.AllDerived(t.Context(), place, "water")
		if err != nil {
			t.Fatal(err)
		}
		return len(all)
	}
	forecast := func(place string, kept *sample.Derived) string {
		k := started(t, records, kept)
		f := k.Forecast(t, schedule.Moment{Place: place, Today: today})
		k.Rest()
		return told(t, f)
	}
	forecast("blue", kept)
	solved := waters(schedule.DistrictBook("graz"))
	got := forecast("red", kept)
	if n := waters(schedule.DistrictBook("graz")); solved == 0 || n != solved || waters("blue")+waters("red") != 0 {
		t.Errorf("the first place solved %d waters of its district, with the second they are %d; %d and %d are kept for the places",
			solved, n, waters("blue"), waters("red"))
	}
	if want := forecast("red", nil); got != want {
		t.Errorf("from its district's waters (-want +got)\n%s", cmp.Diff(want, got))
	}
}
