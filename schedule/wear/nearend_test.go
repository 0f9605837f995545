package wear

import (
	"testing"

	"limekeep/schedule/record"
)

// A test behind a cartridge is asked for monthly to quarterly, and sooner and sooner
// as the cartridge nears its end (common practice), never within a fortnight.
func TestTestsComeSoonerNearTheEnd(t *testing.T) {
	const usual = 60
	end := record.NewDate(2027, 1, 1)
	last := usual + 1
	for _, left := range []int{400, 130, 120, 100, 60, 40, 28, 20, 5} {
		from := end - record.Date(left)
		days := int(soonerThan(from+usual, end, from) - from)
		if days > last || days < leastTestDays || days > usual || left >= 2*usual && days != usual || left >= 28 && days < left/2 && days != usual {
			t.Errorf("with %d days left it is tested again after %d, and after %d before", left, days, last)
		}
		last = days
	}
	if got := soonerThan(end+70, end, end+10); got != end+70 {
		t.Errorf("after the change it is tested on %s", got)
	}
	if got := soonerThan(end-10, 0, end-70); got != end-10 {
		t.Errorf("a cartridge without an end moves the test to %s", got)
	}
}
