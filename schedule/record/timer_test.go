package record_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

func TestTimerMinutes(t *testing.T) {
	monday := record.NewDate(2026, 3, 2)
	tests := []struct {
		name, on string
		date     record.Date
		want     []int
	}{
		{"a weekday", "30 6 * * MON-FRI", monday, []int{390}},
		{"not at the weekend", "30 6 * * MON-FRI", monday + 5, nil},
		{"twice a day, in order", "0 17,6 * * *", monday, []int{360, 1020}},
		{"each quarter of an hour", "*/15 0 * * *", monday, []int{0, 15, 30, 45}},
		{"the last minute", "59 23 * * *", monday, []int{1439}},
		{"another month", "0 6 * 4 *", monday, nil},
		{"this month", "0 6 * 3 *", monday, []int{360}},
		{"the day of the month", "0 6 2 * *", monday, []int{360}},
		{"another day of the month", "0 6 3 * *", monday, nil},
		// cron(8): with both days restricted, either will do.
		{"by either day", "0 6 3 * MON", monday, []int{360}},
		{"by the other day", "0 6 3 * MON", monday + 1, []int{360}},
		{"by neither", "0 6 3 * MON", monday + 2, nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			on, off, err := record.Timer{On: test.on, Off: "0 22 * * *"}.Read()
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(test.want, on.Minutes(test.date)); diff != "" {
				t.Errorf("%s on %s (-want +got):\n%s", test.on, test.date.Long(), diff)
			}
			if diff := cmp.Diff([]int{1320}, off.Minutes(test.date)); diff != "" {
				t.Errorf("off (-want +got):\n%s", diff)
			}
		})
	}
	for field, timer := range map[string]record.Timer{"on": {On: "early", Off: "0 22 * * *"}, "off": {On: "0 6 * * *", Off: "@daily"}} {
		check(t, timer, field)
	}
}
