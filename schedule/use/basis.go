package use

import "fmt"

// Basis tells what a day rests on.
type Basis uint8

// What a day can rest on, from the least to the most trusted.
const (
	ByForecast Basis = iota // a day to come
	ByHabit                 // nobody wrote anything down
	BySilence               // between the rows of what was written down: nothing drawn
	ByAway                  // a period away: nothing drawn
	ByHand                  // entered by hand
	ByLog                   // rows of a log
)

var basisNames = [...]string{"forecast", "habit", "no row", "away", "by hand", "log"}

// String names the basis.
func (b Basis) String() string {
	if int(b) < len(basisNames) {
		return basisNames[b]
	}
	return fmt.Sprintf("Basis(%d)", b)
}

// MarshalText writes the name.
func (b Basis) MarshalText() ([]byte, error) { return []byte(b.String()), nil }
