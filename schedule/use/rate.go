package use

import "limekeep/schedule/record"

// Rate is the shots to be expected by day of the week.
type Rate struct {
	Weekday    float64 // Monday to Friday, shots a day
	Weekend    float64 // Saturday and Sunday, shots a day
	LoggedDays float64 // weight of the log in it, in days
}

// rateWindowDays is how far back the log speaks of the days to come.
const rateWindowDays = 56

// Of gives the shots to be expected on a date.
func (r Rate) Of(d record.Date) float64 {
	if d.Weekend() {
		return r.Weekend
	}
	return r.Weekday
}

// Weekly gives the shots to be expected in a week.
func (r Rate) Weekly() float64 { return 5*r.Weekday + 2*r.Weekend }

func habitRate(m *record.Machine) Rate {
	return Rate{Weekday: m.Habit.WeekdayShots, Weekend: m.Habit.WeekendShots}
}

// learnRate moves the stated habit towards what was logged in the last eight
// weeks, the more so the more of their days were logged.
func learnRate(days []record.UseDay, covered []bool, first, today record.Date, habit Rate) Rate {
	var shots, count [2]float64
	from := max(first, today-rateWindowDays+1)
	for d := from; d <= today; d++ {
		if i := int(d - first); i < len(covered) && covered[i] {
			count[weekendIndex(d)]++
		}
	}
	for _, u := range days {
		if u.Date >= from && u.Date <= today {
			shots[weekendIndex(u.Date)] += u.Shots
		}
	}
	// Each kind of day has its share of logFullDays as the weight of the habit.
	weekday := logFullDays * 5 / 7
	weekend := logFullDays * 2 / 7
	return Rate{
		Weekday:    (shots[0] + weekday*habit.Weekday) / (count[0] + weekday),
		Weekend:    (shots[1] + weekend*habit.Weekend) / (count[1] + weekend),
		LoggedDays: count[0] + count[1],
	}
}

func weekendIndex(d record.Date) int {
	if d.Weekend() {
		return 1
	}
	return 0
}
