package use

import (
	"testing"

	"limekeep/schedule/record"
)

func TestTimerHours(t *testing.T) {
	for _, test := range []struct {
		name   string
		timers []record.Timer
		want   [7]float64 // Monday first
	}{
		{"weekday mornings", []record.Timer{{On: "30 6 * * MON-FRI", Off: "0 9 * * MON-FRI"}}, [7]float64{2.5, 2.5, 2.5, 2.5, 2.5, 0, 0}},
		{"mornings and evenings in one", []record.Timer{{On: "0 7,18 * * *", Off: "0 9,20 * * *"}}, [7]float64{4, 4, 4, 4, 4, 4, 4}},
		{"two timers", []record.Timer{{On: "0 7 * * 1-5", Off: "0 8 * * 1-5"}, {On: "0 9 * * 0,6", Off: "0 12 * * 0,6"}}, [7]float64{1, 1, 1, 1, 1, 3, 3}},
		{"over midnight", []record.Timer{{On: "0 22 * * *", Off: "0 2 * * *"}}, [7]float64{4, 4, 4, 4, 4, 4, 4}},
		{"on from Monday to Wednesday", []record.Timer{{On: "0 12 * * MON", Off: "0 12 * * WED"}}, [7]float64{12, 24, 12, 0, 0, 0, 0}},
		{"on and off in the same minute: on", []record.Timer{{On: "0 12 * * *", Off: "0 12 * * *"}}, [7]float64{24, 24, 24, 24, 24, 24, 24}},
		{"never on", []record.Timer{{On: "0 0 31 2 *", Off: "0 8 * * *"}}, [7]float64{}},
	} {
		t.Run(test.name, func(t *testing.T) {
			hot := hotHoursOf(record.Home, record.Habit{HotTimer: test.timers})
			for i, want := range test.want {
				on := monday + 70 + record.Date(i)
				if got := hot.expected(on, 1); !near(got, want) {
					t.Errorf("%s: %v hours, want %v", on.Weekday(), got, want)
				}
			}
		})
	}
}

// A timer counts most, then the hours stated, then the times of the log.
func TestHotHoursOfALoggedDay(t *testing.T) {
	timer := []record.Timer{{On: "0 6 * * *", Off: "0 10 * * *"}}
	for _, test := range []struct {
		name    string
		setting record.Setting
		habit   record.Habit
		day     record.UseDay
		want    float64
	}{
		{"timer", record.Home, record.Habit{HotTimer: timer}, record.UseDay{Shots: 3, HalfHours: 1 << 14}, 4},
		{"timer, and nothing drawn", record.Home, record.Habit{HotTimer: timer}, record.UseDay{}, 4},
		{"stated", record.Home, record.Habit{HotHours: 5}, record.UseDay{Shots: 3, HalfHours: 1 << 14}, 5},
		{"stated, and nothing drawn", record.Home, record.Habit{HotHours: 5}, record.UseDay{}, 0},
		{"by the log: half an hour at seven and an hour and a half at six, warmed up and left on for half an hour each", record.Home, record.Habit{}, record.UseDay{Shots: 3, HalfHours: 1<<14 | 1<<36 | 1<<38}, 4},
		{"by the log: never more than the day has", record.Home, record.Habit{}, record.UseDay{Shots: 300, HalfHours: 1<<48 - 1}, 24},
		{"a log without times, at home", record.Home, record.Habit{}, record.UseDay{Shots: 3}, 2},
		{"a log without times, in a bar", record.Bar, record.Habit{}, record.UseDay{Shots: 3}, 14},
	} {
		test.day.Date = monday
		if got := drinksOf(test.setting, test.habit).logged(test.day).HotHours; !near(got, test.want) {
			t.Errorf("%s: %v hours, want %v", test.name, got, test.want)
		}
	}
}

// What was measured of a day's hours stands in place of what was taken for them; the
// last figure of a day counts, and the days around it stay as they were.
func TestMeasuredHotHours(t *testing.T) {
	machine := home(monday)
	plain := NewTimeline(record.NewBook(monday+6, nil, nil), machine, monday, monday+30)
	entries := []record.Entry{
		{ID: 1, Effective: monday + 2, Body: record.HotHours{Machine: machine.ID, Hours: 2.5}},
		{ID: 2, Effective: monday + 2, Body: record.HotHours{Machine: machine.ID, Hours: 3.25}},
		{ID: 3, Effective: monday + 3, Body: record.HotHours{Machine: "another", Hours: 20}},
	}
	told := NewTimeline(record.NewBook(monday+6, entries, nil), machine, monday, monday+30)
	for on := monday; on <= monday+30; on++ {
		want := plain.On(on).HotHours
		if on == monday+2 {
			want = 3.25
		}
		if got := told.On(on).HotHours; !near(got, want) {
			t.Errorf("%s: %v hours, want %v", on, got, want)
		}
	}
}
