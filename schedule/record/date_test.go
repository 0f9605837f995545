package record_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

// anyDate draws a date of the years 1 to 9999.
func anyDate() *rapid.Generator[record.Date] {
	return rapid.Map(rapid.Int32Range(1, int32(record.NewDate(9999, time.December, 31))),
		func(n int32) record.Date { return record.Date(n) })
}

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	location, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return location
}

// Package time is the outside source: both must give the same calendar.
func TestDateAgreesWithPackageTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDate().Draw(t, "date")
		days := time.Date(1, time.January, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(d)-1)
		if got := record.DateOf(days); got != d {
			t.Fatalf("day %d is %s in package time, which comes back as day %d", d, days, got)
		}
		if got := record.NewDate(days.Year(), days.Month(), days.Day()); got != d {
			t.Fatalf("NewDate of %s is %d, not %d", days, got, d)
		}
		if got, want := d.String(), days.Format(time.DateOnly); got != want {
			t.Fatalf("String: %s, package time has %s", got, want)
		}
		if got, want := d.Long(), days.Format("Mon 2 Jan 2006"); got != want {
			t.Fatalf("Long: %s, package time has %s", got, want)
		}
		if d.Weekday() != days.Weekday() {
			t.Fatalf("%s is a %s, package time has %s", d, d.Weekday(), days.Weekday())
		}
		if want := days.Weekday() == time.Saturday || days.Weekday() == time.Sunday; d.Weekend() != want {
			t.Fatalf("%s: weekend is %t", d, d.Weekend())
		}
		parsed, err := record.ParseDate(d.String())
		if err != nil || parsed != d {
			t.Fatalf("ParseDate(%q) = %d, %v, want %d", d.String(), parsed, err, d)
		}
	})
}

func TestDateMarshalsAsText(t *testing.T) {
	type holder struct {
		Day record.Date `json:"day"`
	}
	for day, want := range map[record.Date]string{
		0:                           `{"day":""}`,
		1:                           `{"day":"0001-01-01"}`,
		record.NewDate(2024, 2, 29): `{"day":"2024-02-29"}`,
	} {
		data, err := json.Marshal(holder{day})
		if err != nil || string(data) != want {
			t.Errorf("%s: %s, %v, want %s", day, data, err, want)
		}
		back := holder{Day: 99}
		if err := json.Unmarshal(data, &back); err != nil || back.Day != day {
			t.Errorf("%s came back as %s, %v", data, back.Day, err)
		}
	}
	var h holder
	var field *record.FieldError
	if err := json.Unmarshal([]byte(`{"day":"2023-02-29"}`), &h); !errors.As(err, &field) {
		t.Errorf("the 29th of February 2023: %v, want a field error", err)
	}
}

func TestNoDate(t *testing.T) {
	var none record.Date
	if !none.IsZero() || none.String() != "no date" || none.Long() != "no date" {
		t.Errorf("the zero date is %t, %q, %q", none.IsZero(), none.String(), none.Long())
	}
	if record.Date(1).IsZero() {
		t.Error("the first day of year 1 is taken for no date")
	}
}

func TestParseDateRefuses(t *testing.T) {
	for _, text := range []string{
		"", "2026", "2026-3-1", "2026-03-01 ", " 2026-03-01", "01.03.2026", "2026/03/01", "2026-02-30",
		"2025-02-29", "1900-02-29", "2026-13-01", "2026-00-10", "2026-01-00", "0000-05-01", "-001-01-01",
		"12026-01-01", "2026-03-01T10:00", "٢٠٢٦-٠٣-٠١", "today",
	} {
		got, err := record.ParseDate(text)
		var field *record.FieldError
		if !errors.As(err, &field) {
			t.Errorf("%q: %s, %v, want a field error", text, got, err)
			continue
		}
		if field.Field != "date" || field.Value != text || field.Want == "" || !got.IsZero() {
			t.Errorf("%q: %+v with %s", text, *field, got)
		}
	}
}

// Where midnight does not exist the date begins when the clocks have gone
// forward; where it comes twice it begins with the first. The rules are those
// of the IANA time zone database.
func TestDateInZone(t *testing.T) {
	tests := []struct {
		name string
		zone string
		date record.Date
		want string // RFC 3339
	}{
		{"an ordinary day", "Europe/Vienna", record.NewDate(2026, 3, 2), "2026-03-02T00:00:00+01:00"},
		{"the gap lies at two", "Europe/Vienna", record.NewDate(2026, 3, 29), "2026-03-29T00:00:00+01:00"},
		{"the gap lies at midnight, west", "America/Sao_Paulo", record.NewDate(2018, 11, 4), "2018-11-04T01:00:00-02:00"},
		{"the gap lies at midnight, east", "Asia/Beirut", record.NewDate(2026, 3, 29), "2026-03-29T01:00:00+03:00"},
		{"the gap lies at midnight, further west", "America/Havana", record.NewDate(2026, 3, 8), "2026-03-08T01:00:00-04:00"},
		{"midnight comes twice, west", "America/Havana", record.NewDate(2026, 11, 1), "2026-11-01T00:00:00-04:00"},
		{"midnight comes twice, east", "Asia/Amman", record.NewDate(2021, 10, 29), "2021-10-29T00:00:00+03:00"},
		{"midnight comes twice, on the meridian", "Atlantic/Azores", record.NewDate(2026, 10, 25), "2026-10-25T00:00:00Z"},
		{"clocks went back from midnight to eleven", "America/Sao_Paulo", record.NewDate(2018, 2, 18), "2018-02-18T00:00:00-03:00"},
		{"a minute past midnight, then an hour back", "America/St_Johns", record.NewDate(2010, 11, 7), "2010-11-07T00:00:00-02:30"},
		{"from half past eleven to half past midnight", "America/Toronto", record.NewDate(1919, 3, 31), "1919-03-31T00:30:00-04:00"},
		{"half an hour, at two", "Australia/Lord_Howe", record.NewDate(2026, 10, 4), "2026-10-04T00:00:00+10:30"},
		{"three quarters of an hour", "Pacific/Chatham", record.NewDate(2026, 4, 5), "2026-04-05T00:00:00+13:45"},
		{"a day that never was: the next begins", "Pacific/Apia", record.NewDate(2011, 12, 30), "2011-12-31T00:00:00+14:00"},
		{"no changes at all", "UTC", record.NewDate(1, 1, 1), "0001-01-01T00:00:00Z"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := test.date.In(zone(t, test.zone)).Format(time.RFC3339); got != test.want {
				t.Errorf("%s begins in %s at %s, want %s", test.date, test.zone, got, test.want)
			}
		})
	}
}

// Whatever the zone does, the instant before a date's own shows an earlier date.
func TestDateInIsTheFirstInstant(t *testing.T) {
	names := []string{"Europe/Vienna", "America/Sao_Paulo", "Asia/Beirut", "Asia/Amman", "Asia/Gaza", "America/Havana",
		"Atlantic/Azores", "America/Santiago", "Australia/Lord_Howe", "Africa/Casablanca", "Asia/Tehran", "Asia/Kolkata"}
	zones := make([]*time.Location, len(names))
	for i, name := range names {
		zones[i] = zone(t, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.SampledFrom(zones).Draw(t, "zone")
		d := record.NewDate(1970, 1, 1) + record.Date(rapid.IntRange(0, 100*365).Draw(t, "day"))
		begins := d.In(in)
		if got := record.DateOf(begins); got != d {
			t.Fatalf("in %s %s begins at %s", in, d, begins)
		}
		if before := begins.Add(-time.Second); record.DateOf(before) != d-1 {
			t.Fatalf("in %s %s begins at %s, but %s bears it already", in, d, begins, before)
		}
		if hours := (d + 1).In(in).Sub(begins).Hours(); hours < 22 || hours > 26 {
			t.Fatalf("in %s %s lasts %v hours", in, d, hours)
		}
	})
}

func TestAddMonths(t *testing.T) {
	day := record.NewDate
	tests := []struct {
		from   record.Date
		months int
		want   record.Date
	}{
		{day(2026, 1, 31), 1, day(2026, 2, 28)},
		{day(2024, 1, 31), 1, day(2024, 2, 29)},
		{day(2026, 3, 31), 1, day(2026, 4, 30)},
		{day(2026, 1, 31), 2, day(2026, 3, 31)},
		{day(2024, 2, 29), 12, day(2025, 2, 28)},
		{day(2024, 2, 29), 48, day(2028, 2, 29)},
		{day(1896, 2, 29), 48, day(1900, 2, 28)}, // 1900 was no leap year
		{day(1996, 2, 29), 48, day(2000, 2, 29)}, // 2000 was one
		{day(2026, 12, 31), 2, day(2027, 2, 28)},
		{day(2026, 3, 31), -1, day(2026, 2, 28)},
		{day(2026, 1, 15), -13, day(2024, 12, 15)},
		{day(2026, 5, 17), 0, day(2026, 5, 17)},
		{day(2026, 2, 28), 1, day(2026, 3, 28)}, // the last of a month stays its own number
	}
	for _, test := range tests {
		if got := test.from.AddMonths(test.months); got != test.want {
			t.Errorf("%s and %d months: %s, want %s", test.from, test.months, got, test.want)
		}
	}
}

func TestAddMonthsKeepsTheMonth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := record.NewDate(1900, 1, 1) + record.Date(rapid.IntRange(0, 300*365).Draw(t, "day"))
		n := rapid.IntRange(-600, 600).Draw(t, "months")
		got := d.AddMonths(n)
		from, to := d.In(time.UTC), got.In(time.UTC)
		if passed := 12*(to.Year()-from.Year()) + int(to.Month()-from.Month()); passed != n {
			t.Fatalf("%s and %d months is %s, %d months away", d, n, got, passed)
		}
		lastOfMonth := (got + 1).In(time.UTC).Day() == 1
		if to.Day() != from.Day() && !(to.Day() < from.Day() && lastOfMonth) {
			t.Fatalf("%s and %d months is %s", d, n, got)
		}
	})
}

func TestMonthEnd(t *testing.T) {
	day := record.NewDate
	for from, want := range map[record.Date]record.Date{
		day(2026, 1, 1): day(2026, 1, 31), day(2026, 2, 28): day(2026, 2, 28), day(2024, 2, 1): day(2024, 2, 29),
		day(1900, 2, 1): day(1900, 2, 28), day(2026, 4, 30): day(2026, 4, 30), day(2026, 12, 5): day(2026, 12, 31),
	} {
		if got := from.MonthEnd(); got != want {
			t.Errorf("%s: the month ends on %s, want %s", from, got, want)
		}
	}
}

func ExampleDate_AddMonths() {
	d := record.NewDate(2024, time.January, 31)
	fmt.Println(d.AddMonths(1), d.AddMonths(13))
	// Output: 2024-02-29 2025-02-28
}
