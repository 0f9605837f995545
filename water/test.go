package water

import (
	"errors"
	"fmt"
)

// Test is a water test: what was measured of one water at one time.
type Test struct {
	Values  []Measured `json:"values"`
	Celsius float64    `json:"celsius"` // of the water when its pH was measured; 0 is unknown, 15 is assumed
}

// Measured is one value of a water test.
type Measured struct {
	Quantity Quantity `json:"quantity"`
	Value    float64  `json:"value"` // in Unit
	Unit     Unit     `json:"unit"`
	Method   Method   `json:"method"`
	Spread   float64  `json:"spread"`    // standard deviation in Unit; 0 is the method's own
	DropSize float64  `json:"drop_size"` // one drop of a drop test in Unit; 0 is one degree
}

// ErrEmptyTest says that a water test holds no values.
var ErrEmptyTest = errors.New("the water test holds no values: measure at least hardness and alkalinity")

// MainsCelsius is the temperature of the water when none was noted: of
// mains water in a temperate climate (assumption).
const MainsCelsius = 15

// testHottestCelsius is the hottest water anyone tests by hand (assumption).
const testHottestCelsius = 60

// Validate says whether the test could be of a water at all, value by value.
// Errors name the value and what would be right: ErrEmptyTest, or one wrapping
// *QuantityError, *UnitError, *MethodError or *ValueError.
func (t Test) Validate() error {
	if len(t.Values) == 0 {
		return ErrEmptyTest
	}
	if err := CheckRange("temperature of the water tested, °C", t.Celsius, 0, testHottestCelsius); err != nil {
		return err
	}
	seen := map[Quantity]bool{}
	for i, m := range t.Values {
		if err := m.Validate(); err != nil {
			return fmt.Errorf("value %d of the water test: %w", i+1, err)
		}
		if seen[m.Quantity] {
			err := &ValueError{Quantity: string(m.Quantity), Value: m.Value, Want: "each quantity once; enter a repeat as a test of its own"}
			return fmt.Errorf("value %d of the water test: %w", i+1, err)
		}
		seen[m.Quantity] = true
	}
	return nil
}

// Validate says whether the value could be of a water at all. The error is a
// *QuantityError, *UnitError, *MethodError or *ValueError.
func (m Measured) Validate() error {
	canonical, err := m.Quantity.Canonical(m.Value, m.Unit)
	if err != nil {
		return err
	}
	low, high := m.Quantity.Plausible()
	if !(canonical >= low && canonical <= high) {
		lowIn, _ := m.Quantity.In(low, m.Unit) // the unit was found good above
		highIn, _ := m.Quantity.In(high, m.Unit)
		return &ValueError{
			Quantity: fmt.Sprintf("%s, %s", m.Quantity, m.Unit), Value: m.Value,
			Want: fmt.Sprintf("%.3g to %.4g; check the unit and the decimal point", lowIn, highIn),
		}
	}
	spread, _ := m.Quantity.In(high-low, m.Unit)
	if err := CheckRange(fmt.Sprintf("spread of %s, %s", m.Quantity, m.Unit), m.Spread, 0, spread); err != nil {
		return err
	}
	if err := CheckRange(fmt.Sprintf("drop size of %s, %s", m.Quantity, m.Unit), m.DropSize, 0, spread); err != nil {
		return err
	}
	_, err = NewObservation(m)
	return err
}

// PHCelsius is the temperature the pH holds at.
func (t Test) PHCelsius() float64 {
	if t.Celsius == 0 {
		return MainsCelsius
	}
	return t.Celsius
}

// Observations turns a validated test into observations, free chlorine left out: it
// says nothing about the ions.
func (t Test) Observations() ([]Observation, error) {
	var rs []Observation
	for _, m := range t.Values {
		if m.Quantity == FreeChlorine {
			continue
		}
		r, err := NewObservation(m)
		if err != nil {
			return nil, err
		}
		rs = append(rs, r)
	}
	return rs, nil
}

// Value is the measured value of a quantity; the zero Measured when absent.
func (t Test) Value(q Quantity) Measured {
	for _, m := range t.Values {
		if m.Quantity == q {
			return m
		}
	}
	return Measured{}
}
