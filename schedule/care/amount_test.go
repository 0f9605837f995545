package care

import (
	"reflect"
	"testing"
)

// A driver that counts only one amount counts the same of an exposure to all of them
// as of one to that amount alone, and nothing of the others.
func TestDriversCountOnlyWhatTheySay(t *testing.T) {
	all := Exposure{Days: 2, Shots: 3, Kilograms: 5, HotHours: 7, Litres: 11, DrawnLitres: 13, HardnessMeq: 17, CarbonMeq: 19, ScaleGrams: 23}
	var duty Duty
	duty.Task = &Task{}
	for _, entry := range drivers {
		amount, ok := entry.driver.CountsOnly()
		if !ok || entry.count(duty) == nil {
			continue // of a cartridge: its litres are checked with the forecasts
		}
		count := entry.count(duty)
		for a := range Amounts {
			x := reflect.ValueOf(all).Field(int(a)).Float()
			if got, want := Only(a, x), reflect.ValueOf(Only(a, x)).Field(int(a)).Float(); want != x || count(got) != 0 && a != amount {
				t.Errorf("%s: amount %d is %+v, and counts %v", entry.driver, a, got, count(got))
			}
			if a == amount && count(Only(a, x)) != count(all) {
				t.Errorf("%s counts %v of all, %v of amount %d alone", entry.driver, count(all), count(Only(a, x)), a)
			}
		}
	}
}
