package use

import (
	"errors"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

// kept is an entry of the book of a test.
func kept(id int64, on record.Date, body record.Body) record.Entry {
	return record.Entry{ID: id, Effective: on, Body: body}
}

func byLog(id int64, from, to record.Date) record.Entry {
	return kept(id, from, record.UseBatch{Machine: "machine", From: from, To: to, File: "log.csv"})
}

func drew(id int64, on record.Date, shots float64) record.UseDay {
	return record.UseDay{Machine: "machine", Date: on, Record: id, Shots: shots}
}

// shotsOf returns the shots of each day of a timeline up to today, and its bases.
func shotsOf(c *Timeline) (shots []float64, bases []Basis) {
	for d := c.First; d <= c.Today; d++ {
		shots = append(shots, c.On(d).Shots)
		bases = append(bases, c.On(d).Basis)
	}
	return shots, bases
}

// Each row says what is written of a week, from Monday, and what it must come
// to: the habit is 4 on a weekday and 6 at the weekend.
func TestOrderOfTrust(t *testing.T) {
	const s, h, l, w, a = BySilence, ByHabit, ByLog, ByHand, ByAway
	tests := []struct {
		name    string
		entries []record.Entry
		days    []record.UseDay
		shots   []float64
		bases   []Basis
	}{
		{"nothing written", nil, nil, []float64{4, 4, 4, 4, 4, 6, 6}, []Basis{h, h, h, h, h, h, h}},
		{"a log, silent on Tuesday",
			[]record.Entry{byLog(1, monday, monday+2)},
			[]record.UseDay{drew(1, monday, 3), drew(1, monday+2, 5)},
			[]float64{3, 0, 5, 4, 4, 6, 6}, []Basis{l, s, l, h, h, h, h}},
		{"two logs of one day add up: the rows they share were kept once",
			[]record.Entry{byLog(1, monday, monday), byLog(2, monday, monday)},
			[]record.UseDay{drew(1, monday, 3), drew(2, monday, 2)},
			[]float64{5, 4, 4, 4, 4, 6, 6}, []Basis{l, h, h, h, h, h, h}},
		{"two entries by hand of one day are both meant",
			[]record.Entry{batch(1, "machine", monday, monday), batch(2, "machine", monday, monday)},
			[]record.UseDay{drew(1, monday, 3), drew(2, monday, 2)},
			[]float64{5, 4, 4, 4, 4, 6, 6}, []Basis{w, h, h, h, h, h, h}},
		{"rows of a log count, an entry of the same day does not",
			[]record.Entry{byLog(1, monday, monday), batch(2, "machine", monday, monday)},
			[]record.UseDay{drew(1, monday, 3), drew(2, monday, 9)},
			[]float64{3, 4, 4, 4, 4, 6, 6}, []Basis{l, h, h, h, h, h, h}},
		{"an entry counts where a log is silent",
			[]record.Entry{byLog(1, monday, monday+2), batch(2, "machine", monday+1, monday+1)},
			[]record.UseDay{drew(1, monday, 3), drew(1, monday+2, 5), drew(2, monday+1, 7)},
			[]float64{3, 7, 5, 4, 4, 6, 6}, []Basis{l, w, l, h, h, h, h}},
		{"of an entry over a week the log takes its days, and the rest is left for the others",
			[]record.Entry{batch(1, "machine", monday, monday+6), byLog(2, monday+5, monday+6)},
			append(sevenDays(1, 5), drew(2, monday+5, 8), drew(2, monday+6, 7)), // 35 in all, 15 of them logged
			[]float64{4, 4, 4, 4, 4, 8, 7}, []Basis{w, w, w, w, w, l, l}},
		{"of an entry over a week nothing is left where the log has more",
			[]record.Entry{batch(1, "machine", monday, monday+6), byLog(2, monday+5, monday+6)},
			append(sevenDays(1, 1), drew(2, monday+5, 8), drew(2, monday+6, 7)),
			[]float64{0, 0, 0, 0, 0, 8, 7}, []Basis{w, w, w, w, w, l, l}},
		{"away, but for the day that has a row",
			[]record.Entry{kept(1, monday, record.Away{From: monday + 1, To: monday + 4}), byLog(2, monday+2, monday+2)},
			[]record.UseDay{drew(2, monday+2, 2)},
			[]float64{4, 0, 2, 0, 0, 6, 6}, []Basis{h, a, l, a, a, h, h}},
		{"away until further notice",
			[]record.Entry{kept(1, monday, record.Away{From: monday + 4})}, nil,
			[]float64{4, 4, 4, 4, 0, 0, 0}, []Basis{h, h, h, h, a, a, a}},
		{"another machine is switched off",
			[]record.Entry{kept(1, monday, record.Away{Machine: "lever", From: monday})}, nil,
			[]float64{4, 4, 4, 4, 4, 6, 6}, []Basis{h, h, h, h, h, h, h}},
		{"guests drink more, but for the day that has rows",
			[]record.Entry{kept(1, monday, record.Guests{From: monday, To: monday + 2, Shots: 5}), byLog(2, monday+1, monday+1)},
			[]record.UseDay{drew(2, monday+1, 7)},
			[]float64{9, 7, 9, 4, 4, 6, 6}, []Basis{h, l, h, h, h, h, h}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			c := NewTimeline(record.NewBook(monday+6, test.entries, test.days), home(monday), monday, monday+30)
			shots, bases := shotsOf(c)
			if diff := cmp.Diff(test.shots, shots); diff != "" {
				t.Errorf("shots, -want +got:\n%s", diff)
			}
			if diff := cmp.Diff(test.bases, bases); diff != "" {
				t.Errorf("bases, -want +got:\n%s", diff)
			}
		})
	}
}

func sevenDays(id int64, shots float64) []record.UseDay {
	var days []record.UseDay
	for i := range 7 {
		days = append(days, drew(id, monday+record.Date(i), shots))
	}
	return days
}

// Every record that speaks of a day is shown with it, and whether it counts.
func TestOrigins(t *testing.T) {
	book := record.NewBook(monday+6, []record.Entry{byLog(7, monday, monday), batch(9, "machine", monday, monday)},
		[]record.UseDay{drew(7, monday, 3), drew(9, monday, 9)})
	c := NewTimeline(book, home(monday), monday, monday+30)
	want := []Origin{{Record: 7, Basis: ByLog, Shots: 3, Counted: true}, {Record: 9, Basis: ByHand, Shots: 9}}
	if diff := cmp.Diff(want, c.Origins(monday)); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	if got := c.Origins(monday + 1); got != nil {
		t.Errorf("a day by habit comes from %v", got)
	}
}

// However records overlap, no day holds more than the most that any kind of
// record says of it.
func TestOverlapsNeverCountTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var entries []record.Entry
		var days []record.UseDay
		most := map[record.Date]map[bool]float64{}
		for id := int64(1); id <= int64(rapid.IntRange(1, 5).Draw(t, "records")); id++ {
			from := monday + record.Date(rapid.IntRange(0, 9).Draw(t, "from"))
			to := from + record.Date(rapid.IntRange(0, 6).Draw(t, "days"))
			hand := rapid.Bool().Draw(t, "by hand")
			entries = append(entries, byLog(id, from, to))
			if hand {
				entries[len(entries)-1] = batch(id, "machine", from, to)
			}
			for d := from; d <= to; d++ {
				shots := float64(rapid.IntRange(0, 9).Draw(t, "shots"))
				days = append(days, drew(id, d, shots))
				if most[d] == nil {
					most[d] = map[bool]float64{}
				}
				most[d][hand] += shots
			}
		}
		c := NewTimeline(record.NewBook(monday+16, entries, days), home(monday), monday, monday+30)
		for d, kinds := range most {
			got := c.On(d)
			if !got.Logged {
				t.Fatalf("%s was written down and is %s", d, got.Basis)
			}
			if limit := max(kinds[true], kinds[false]); got.Shots > limit+1e-9 && got.Basis == ByLog {
				t.Fatalf("%s: %v shots, the most that one kind says is %v", d, got.Shots, limit)
			}
			if slices.ContainsFunc(c.Origins(d), func(o Origin) bool { return o.Basis == ByLog }) && !near(got.Shots, kinds[false]) {
				t.Fatalf("%s: %v shots, its logs say %v", d, got.Shots, kinds[false])
			}
		}
	})
}

// Guests and journeys of the future are in the days to come.
func TestWhatIsKnownOfTheFuture(t *testing.T) {
	today := monday + 6
	book := record.NewBook(today, []record.Entry{
		kept(1, today, record.Away{From: today + 3, To: today + 5}),
		kept(2, today, record.Guests{From: today + 8, To: today + 9, Shots: 10}),
	}, nil)
	c := NewTimeline(book, home(monday), monday, today+30)
	want := []float64{4, 4, 0, 0, 0, 6, 6, 14, 14, 4} // from the Monday after
	for i, shots := range want {
		if got := c.On(today + 1 + record.Date(i)); !near(got.Shots, shots) || got.Basis != ByForecast || got.Logged {
			t.Errorf("%s: %+v, want %v shots", (today + 1 + record.Date(i)).Long(), got, shots)
		}
	}
	if away := c.On(today + 3); away.Litres() != 0 || away.HotHours != 0 {
		t.Errorf("a day away: %+v", away)
	}
}

// Days with rows on which guests were there teach nothing of the habit.
func TestGuestsAreNoHabit(t *testing.T) {
	today := monday + 699
	entries, days := logOf(today, 60, func(d record.Date) float64 {
		if d > today-10 {
			return 20
		}
		return 4
	})
	entries = append(entries, kept(2, today, record.Guests{From: today - 9, To: today, Shots: 15}))
	c := NewTimeline(record.NewBook(today, entries, days), home(monday), monday, today+1)
	if got := c.Rate.Weekly(); got < 25 || got > 31 {
		t.Errorf("%v shots a week, want about 28", got)
	}
}

// Habits that were stated one after the other each count for their own time,
// and one without a beginning corrects all before it.
func TestHabitsOneAfterTheOther(t *testing.T) {
	version := func(since record.Date, weekday float64) record.Equipment {
		e := home(monday)
		m := *e.Machine
		m.Habit = record.Habit{Since: since, WeekdayShots: weekday, WeekendShots: weekday}
		e.Machine = &m
		return e
	}
	first, second, third := version(0, 3), version(monday+7, 5), version(monday+14, 8)
	corrected := version(0, 6)
	for _, test := range []struct {
		name     string
		versions []record.Equipment
		want     [4]float64 // on days 0, 7, 14 and 40
	}{
		{"one", []record.Equipment{first}, [4]float64{3, 3, 3, 3}},
		{"two", []record.Equipment{first, second}, [4]float64{3, 5, 5, 5}},
		{"three", []record.Equipment{first, second, third}, [4]float64{3, 5, 8, 8}},
		{"the second put right", []record.Equipment{first, second, version(monday+7, 9)}, [4]float64{3, 9, 9, 9}},
		{"all put right", []record.Equipment{first, second, corrected}, [4]float64{6, 6, 6, 6}},
		{"one that begins on a day to come", []record.Equipment{first, version(monday+30, 1)}, [4]float64{3, 3, 3, 1}},
	} {
		t.Run(test.name, func(t *testing.T) {
			var entries []record.Entry
			for i, v := range test.versions {
				entries = append(entries, kept(int64(i+1), monday+record.Date(i), v))
			}
			c := NewTimeline(record.NewBook(monday+20, entries, nil), test.versions[len(test.versions)-1], monday, monday+60)
			for i, n := range []record.Date{0, 7, 14, 40} {
				if got := c.On(monday + n).Shots; got != test.want[i] {
					t.Errorf("day %d: %v shots, want %v", n, got, test.want[i])
				}
			}
		})
	}
}

// What the rows of a file do not tell, the habit tells.
func TestUnsaidMilkIsTheHabits(t *testing.T) {
	for _, test := range []struct {
		name   string
		unsaid bool
		steam  float64
	}{{"said: none", false, 0}, {"unsaid: half of the shots", true, 0.025}} {
		b := record.UseBatch{Machine: "machine", From: monday, To: monday, File: "log.csv", MilkUnsaid: test.unsaid}
		c := NewTimeline(record.NewBook(monday, []record.Entry{kept(1, monday, b)}, []record.UseDay{drew(1, monday, 2)}), home(monday), monday, monday+1)
		if got := c.On(monday).SteamLitres; !near(got, test.steam) {
			t.Errorf("%s: %v litres of steam, want %v", test.name, got, test.steam)
		}
	}
}

func TestTotalsSayWhyTheyAreWrong(t *testing.T) {
	if totals := bagTotals([]record.Dated[record.Bag]{{ID: 1, On: monday, Body: record.Bag{Grinder: "g", Grams: 250}}}, "g"); len(totals) != 1 || !errors.Is(totals[0].Wrong, ErrOpeningUnknown) {
		t.Errorf("a first bag: %+v", totals)
	}
}
