package water

import "fmt"

// ValueError says that one number cannot belong to any real water. Find it
// with errors.As.
type ValueError struct {
	Quantity string  // which number, with its unit
	Value    float64 // what was given
	Want     string  // what would be right
}

// Error names the quantity, the value and what would be right.
func (e *ValueError) Error() string {
	return fmt.Sprintf("%s: %g cannot be right: want %s", e.Quantity, e.Value, e.Want)
}

// CheckRange returns a *ValueError unless low <= value <= high.
func CheckRange(quantity string, value, low, high float64) error {
	if value >= low && value <= high { // false for NaN
		return nil
	}
	return &ValueError{Quantity: quantity, Value: value, Want: fmt.Sprintf("%g to %g", low, high)}
}
