package recur

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func newYork(t testing.TB) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

// The examples of RFC 5545, 3.8.5.3, all in New York and from 1997 on, with the
// dates it gives for each. Where it ends with "...", so does the check.
func TestExamplesOfRFC5545(t *testing.T) {
	zone := newYork(t)
	days := func(month, from, to int) (list []string) {
		for d := from; d <= to; d++ {
			list = append(list, fmt.Sprintf("1997-%02d-%02d 09:00", month, d))
		}
		return list
	}
	dates := func(at, list string) (full []string) {
		for _, date := range strings.Fields(list) {
			full = append(full, date+" "+at)
		}
		return full
	}
	nine := func(list string) []string { return dates("09:00", list) }
	var january []string
	for _, year := range []string{"1998", "1999", "2000"} {
		for d := 1; d <= 31; d++ {
			january = append(january, fmt.Sprintf("%s-01-%02d 09:00", year, d))
		}
	}
	var workHours []string
	for _, day := range []string{"1997-09-02", "1997-09-03"} {
		for minutes := 9 * 60; minutes < 17*60; minutes += 20 {
			workHours = append(workHours, fmt.Sprintf("%s %02d:%02d", day, minutes/60, minutes%60))
		}
	}
	const everTuesdays = "1997-09-02 1997-09-09 1997-09-16 1997-09-23 1997-09-30 1997-10-07 1997-10-14"
	for _, c := range []struct {
		name, start, rule string
		except            string
		want              []string
		goesOn            bool
	}{
		{"daily for 10 occurrences", "19970902T090000", "FREQ=DAILY;COUNT=10", "", days(9, 2, 11), false},
		{"daily until December 24, 1997", "19970902T090000", "FREQ=DAILY;UNTIL=19971224T000000Z", "",
			append(append(append(days(9, 2, 30), days(10, 1, 31)...), days(11, 1, 30)...), days(12, 1, 23)...), false},
		{"every other day", "19970902T090000", "FREQ=DAILY;INTERVAL=2", "", nine("1997-09-02 1997-09-04 1997-09-06 1997-09-08 1997-09-10"), true},
		{"every 10 days, 5 occurrences", "19970902T090000", "FREQ=DAILY;INTERVAL=10;COUNT=5", "", nine("1997-09-02 1997-09-12 1997-09-22 1997-10-02 1997-10-12"), false},
		{"every day in January, for 3 years, yearly", "19980101T090000", "FREQ=YEARLY;UNTIL=20000131T140000Z;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR,SA", "", january, false},
		{"every day in January, for 3 years, daily", "19980101T090000", "FREQ=DAILY;UNTIL=20000131T140000Z;BYMONTH=1", "", january, false},
		{"weekly for 10 occurrences", "19970902T090000", "FREQ=WEEKLY;COUNT=10", "", nine(everTuesdays + " 1997-10-21 1997-10-28 1997-11-04"), false},
		{"weekly until December 24, 1997", "19970902T090000", "FREQ=WEEKLY;UNTIL=19971224T000000Z", "",
			nine(everTuesdays + " 1997-10-21 1997-10-28 1997-11-04 1997-11-11 1997-11-18 1997-11-25 1997-12-02 1997-12-09 1997-12-16 1997-12-23"), false},
		{"every other week", "19970902T090000", "FREQ=WEEKLY;INTERVAL=2;WKST=SU", "", nine("1997-09-02 1997-09-16 1997-09-30 1997-10-14 1997-10-28 1997-11-11"), true},
		{"weekly on Tuesday and Thursday for five weeks, until", "19970902T090000", "FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH", "",
			nine("1997-09-02 1997-09-04 1997-09-09 1997-09-11 1997-09-16 1997-09-18 1997-09-23 1997-09-25 1997-09-30 1997-10-02"), false},
		{"weekly on Tuesday and Thursday for five weeks, count", "19970902T090000", "FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH", "",
			nine("1997-09-02 1997-09-04 1997-09-09 1997-09-11 1997-09-16 1997-09-18 1997-09-23 1997-09-25 1997-09-30 1997-10-02"), false},
		{"every other week on Monday, Wednesday and Friday", "19970901T090000", "FREQ=WEEKLY;INTERVAL=2;UNTIL=19971224T000000Z;WKST=SU;BYDAY=MO,WE,FR", "",
			nine("1997-09-01 1997-09-03 1997-09-05 1997-09-15 1997-09-17 1997-09-19 1997-09-29 1997-10-01 1997-10-03 1997-10-13 1997-10-15 1997-10-17 1997-10-27 1997-10-29 1997-10-31 1997-11-10 1997-11-12 1997-11-14 1997-11-24 1997-11-26 1997-11-28 1997-12-08 1997-12-10 1997-12-12 1997-12-22"), false},
		{"every other week on Tuesday and Thursday", "19970902T090000", "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH", "",
			nine("1997-09-02 1997-09-04 1997-09-16 1997-09-18 1997-09-30 1997-10-02 1997-10-14 1997-10-16"), false},
		{"monthly on the first Friday, count", "19970905T090000", "FREQ=MONTHLY;COUNT=10;BYDAY=1FR", "",
			nine("1997-09-05 1997-10-03 1997-11-07 1997-12-05 1998-01-02 1998-02-06 1998-03-06 1998-04-03 1998-05-01 1998-06-05"), false},
		{"monthly on the first Friday, until", "19970905T090000", "FREQ=MONTHLY;UNTIL=19971224T000000Z;BYDAY=1FR", "", nine("1997-09-05 1997-10-03 1997-11-07 1997-12-05"), false},
		{"every other month on the first and last Sunday", "19970907T090000", "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU", "",
			nine("1997-09-07 1997-09-28 1997-11-02 1997-11-30 1998-01-04 1998-01-25 1998-03-01 1998-03-29 1998-05-03 1998-05-31"), false},
		{"monthly on the second-to-last Monday", "19970922T090000", "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO", "", nine("1997-09-22 1997-10-20 1997-11-17 1997-12-22 1998-01-19 1998-02-16"), false},
		{"monthly on the third-to-the-last day", "19970928T090000", "FREQ=MONTHLY;BYMONTHDAY=-3", "", nine("1997-09-28 1997-10-29 1997-11-28 1997-12-29 1998-01-29 1998-02-26"), true},
		{"monthly on the 2nd and 15th", "19970902T090000", "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15", "",
			nine("1997-09-02 1997-09-15 1997-10-02 1997-10-15 1997-11-02 1997-11-15 1997-12-02 1997-12-15 1998-01-02 1998-01-15"), false},
		{"monthly on the first and last day", "19970930T090000", "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1", "",
			nine("1997-09-30 1997-10-01 1997-10-31 1997-11-01 1997-11-30 1997-12-01 1997-12-31 1998-01-01 1998-01-31 1998-02-01"), false},
		{"every 18 months on the 10th thru 15th", "19970910T090000", "FREQ=MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15", "",
			nine("1997-09-10 1997-09-11 1997-09-12 1997-09-13 1997-09-14 1997-09-15 1999-03-10 1999-03-11 1999-03-12 1999-03-13"), false},
		{"every Tuesday, every other month", "19970902T090000", "FREQ=MONTHLY;INTERVAL=2;BYDAY=TU", "",
			nine("1997-09-02 1997-09-09 1997-09-16 1997-09-23 1997-09-30 1997-11-04 1997-11-11 1997-11-18 1997-11-25 1998-01-06 1998-01-13 1998-01-20 1998-01-27 1998-03-03 1998-03-10 1998-03-17 1998-03-24 1998-03-31"), true},
		{"yearly in June and July", "19970610T090000", "FREQ=YEARLY;COUNT=10;BYMONTH=6,7", "",
			nine("1997-06-10 1997-07-10 1998-06-10 1998-07-10 1999-06-10 1999-07-10 2000-06-10 2000-07-10 2001-06-10 2001-07-10"), false},
		{"every other year in January, February and March", "19970310T090000", "FREQ=YEARLY;INTERVAL=2;COUNT=10;BYMONTH=1,2,3", "",
			nine("1997-03-10 1999-01-10 1999-02-10 1999-03-10 2001-01-10 2001-02-10 2001-03-10 2003-01-10 2003-02-10 2003-03-10"), false},
		{"every third year on the 1st, 100th and 200th day", "19970101T090000", "FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200", "",
			nine("1997-01-01 1997-04-10 1997-07-19 2000-01-01 2000-04-09 2000-07-18 2003-01-01 2003-04-10 2003-07-19 2006-01-01"), false},
		{"every 20th Monday of the year", "19970519T090000", "FREQ=YEARLY;BYDAY=20MO", "", nine("1997-05-19 1998-05-18 1999-05-17"), true},
		{"Monday of week number 20", "19970512T090000", "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO", "", nine("1997-05-12 1998-05-11 1999-05-17"), true},
		{"every Thursday in March", "19970313T090000", "FREQ=YEARLY;BYMONTH=3;BYDAY=TH", "",
			nine("1997-03-13 1997-03-20 1997-03-27 1998-03-05 1998-03-12 1998-03-19 1998-03-26 1999-03-04 1999-03-11 1999-03-18 1999-03-25"), true},
		{"every Thursday, but only during June, July and August", "19970605T090000", "FREQ=YEARLY;BYDAY=TH;BYMONTH=6,7,8", "",
			nine("1997-06-05 1997-06-12 1997-06-19 1997-06-26 1997-07-03 1997-07-10 1997-07-17 1997-07-24 1997-07-31 1997-08-07 1997-08-14 1997-08-21 1997-08-28 1998-06-04 1998-06-11"), true},
		{"every Friday the 13th", "19970902T090000", "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13", "19970902T090000", nine("1998-02-13 1998-03-13 1998-11-13 1999-08-13 2000-10-13"), true},
		{"the first Saturday that follows the first Sunday", "19970913T090000", "FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13", "",
			nine("1997-09-13 1997-10-11 1997-11-08 1997-12-13 1998-01-10 1998-02-07 1998-03-07 1998-04-11 1998-05-09 1998-06-13"), true},
		{"U.S. Presidential Election day", "19961105T090000", "FREQ=YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8", "", nine("1996-11-05 2000-11-07 2004-11-02"), true},
		{"the third instance of a Tuesday, Wednesday or Thursday", "19970904T090000", "FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3", "", nine("1997-09-04 1997-10-07 1997-11-06"), false},
		{"the second-to-last weekday of the month", "19970929T090000", "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2", "",
			nine("1997-09-29 1997-10-30 1997-11-27 1997-12-30 1998-01-29 1998-02-26 1998-03-30"), true},
		// The RFC's UNTIL is 17:00 UTC, which is 13:00 in New York; the dates that it
		// gives end at 15:00 there. Its erratum 3883 makes UNTIL 21:00 UTC.
		{"every 3 hours from 9:00 to 17:00", "19970902T090000", "FREQ=HOURLY;INTERVAL=3;UNTIL=19970902T210000Z", "", []string{"1997-09-02 09:00", "1997-09-02 12:00", "1997-09-02 15:00"}, false},
		{"every 15 minutes for 6 occurrences", "19970902T090000", "FREQ=MINUTELY;INTERVAL=15;COUNT=6", "",
			[]string{"1997-09-02 09:00", "1997-09-02 09:15", "1997-09-02 09:30", "1997-09-02 09:45", "1997-09-02 10:00", "1997-09-02 10:15"}, false},
		{"every hour and a half for 4 occurrences", "19970902T090000", "FREQ=MINUTELY;INTERVAL=90;COUNT=4", "",
			[]string{"1997-09-02 09:00", "1997-09-02 10:30", "1997-09-02 12:00", "1997-09-02 13:30"}, false},
		{"every 20 minutes from 9:00 to 16:40, daily", "19970902T090000", "FREQ=DAILY;BYHOUR=9,10,11,12,13,14,15,16;BYMINUTE=0,20,40", "", workHours, true},
		{"every 20 minutes from 9:00 to 16:40, minutely", "19970902T090000", "FREQ=MINUTELY;INTERVAL=20;BYHOUR=9,10,11,12,13,14,15,16", "", workHours, true},
		{"the week begins on Monday", "19970805T090000", "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO", "", nine("1997-08-05 1997-08-10 1997-08-19 1997-08-24"), false},
		{"the week begins on Sunday", "19970805T090000", "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU", "", nine("1997-08-05 1997-08-17 1997-08-19 1997-08-31"), false},
		{"an invalid date is ignored", "20070115T090000", "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5", "", nine("2007-01-15 2007-01-30 2007-02-15 2007-03-15 2007-03-30"), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			rule, err := ParseRule(c.rule)
			if err != nil {
				t.Fatal(err)
			}
			set := Set{Start: inZone(t, c.start, zone), Rule: &rule}
			if c.except != "" {
				set.Except = append(set.Except, inZone(t, c.except, zone))
			}
			w := Window{From: set.Start, To: set.Start.AddDate(10, 0, 0)}
			if c.goesOn { // to the last that is given
				last, err := time.ParseInLocation("2006-01-02 15:04", c.want[len(c.want)-1], zone)
				if err != nil {
					t.Fatal(err)
				}
				w.To = last.Add(time.Second)
			}
			starts, err := set.In(t.Context(), w, NewBudget(math.MaxInt32))
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, at := range starts {
				got = append(got, at.In(zone).Format("2006-01-02 15:04"))
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// inZone reads a time as a calendar writes it.
func inZone(t testing.TB, text string, zone *time.Location) time.Time {
	t.Helper()
	at, err := time.ParseInLocation("20060102T150405", text, zone)
	if err != nil {
		t.Fatal(err)
	}
	return at
}
