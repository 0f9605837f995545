package treatment

import (
	"limekeep/water"
	"limekeep/water/equilibrium"
)

// What a tank gives off. Water that has stood open loses some of the CO2 by
// which it exceeds the room's air, more the longer and the more often it is
// poured: assumption.
const (
	TankLeastShare = 0.2
	TankMostShare  = 0.9
	// RoomLog10PCO2 is the pressure of CO2 in air, atm: 10^-3.4, 400 ppm.
	// People and stoves raise it in a room, which matters little here.
	RoomLog10PCO2 = -3.4
)

// Aired gives the water of a tank at celsius, 0 to 100, that has lost a share,
// 0 to 1, of its excess of carbon over what air at RoomLog10PCO2 leaves in it.
// Alkalinity stays, so the pH rises. Water that holds less than that stays as
// it is: a tank does not stand long enough to take up CO2 (assumption).
func Aired(s *equilibrium.Solver, t water.Totals, celsius, share float64) (water.Totals, error) {
	if err := water.CheckRange("share of the excess CO2 lost", share, 0, 1); err != nil {
		return water.Totals{}, err
	}
	if err := water.CheckRange("temperature of a tank, °C", celsius, 0, 100); err != nil {
		return water.Totals{}, err
	}
	held, err := s.CarbonUnderGas(t, celsius, RoomLog10PCO2)
	if err != nil {
		return water.Totals{}, err
	}
	if excess := t.Carbon - held; excess > 0 {
		t.Carbon -= share * excess
	}
	return t, nil
}
