package record

import (
	"slices"
	"strings"
)

// Habit is what a machine makes on an ordinary day, as its owner says, and what
// a drink takes there. Where a day was not logged, and for the days to come,
// this is what is known. A figure that is left out counts as common practice.
type Habit struct {
	Since          Date     `json:"since,omitzero"`             // the day the habit began; zero: it always was so
	WeekdayShots   float64  `json:"weekday_shots"`              // Monday to Friday, shots a day
	WeekendShots   float64  `json:"weekend_shots"`              // Saturday and Sunday, shots a day
	SteamedShare   *float64 `json:"steamed_share,omitempty"`    // share of the shots that get steamed milk, 0 to 1; nil where not said
	SteamedShots   float64  `json:"steamed_shots,omitempty"`    // shots a day that get it, in place of the share
	HotWaterLitres *float64 `json:"hot_water_litres,omitempty"` // drawn from the steam boiler a day; nil where not said
	DoseGrams      float64  `json:"dose_grams,omitempty"`       // dry coffee a shot
	YieldGrams     float64  `json:"yield_grams,omitempty"`      // drink in the cup a shot
	HotHours       float64  `json:"hot_hours,omitempty"`        // hours a day at temperature
	HotTimer       []Timer  `json:"hot_timer,omitempty"`        // what switches it on and off, in place of the hours

	// What a drink takes beside what is in the cup. Nil where not said; 0 is
	// said.
	FlushBeforeGrams *float64 `json:"flush_before_grams,omitempty"`  // water through the group before each shot
	FlushAfterGrams  *float64 `json:"flush_after_grams,omitempty"`   // and after it
	WarmUpGrams      *float64 `json:"warm_up_grams,omitempty"`       // water through the group once a day
	PuckGramsPerGram *float64 `json:"puck_grams_per_gram,omitempty"` // water left in the puck a gram of dry coffee
	SteamGrams       *float64 `json:"steam_grams,omitempty"`         // steam for one milk drink, purging included; as much water refills the boiler

	Drinks []Drink `json:"drinks,omitempty"` // names of drinks in a log, where they differ from common practice
}

// Drink says what a name in the drink column of a log stands for.
type Drink struct {
	Name           string  `json:"name"`
	Steamed        bool    `json:"steamed,omitempty"`          // it takes steamed milk
	HotWaterLitres float64 `json:"hot_water_litres,omitempty"` // drawn from the steam boiler for it
}

// SaidShots returns the shots of weekdays and weekends as they are said: nil for both where
// nobody says.
func (h Habit) SaidShots() (weekday, weekend *float64) {
	if h.WeekdayShots == 0 && h.WeekendShots == 0 {
		return nil, nil
	}
	return &h.WeekdayShots, &h.WeekendShots
}

// SayShots takes over what is said of weekdays and weekends, nil for nothing. Where one of
// them alone is, the days of a week are alike: what is left out never counts as nothing
// drunk, and who is closed says 0.
func (h *Habit) SayShots(weekday, weekend *float64) {
	if weekday == nil {
		weekday = weekend
	}
	if weekend == nil {
		weekend = weekday
	}
	h.WeekdayShots, h.WeekendShots = said(weekday), said(weekend)
}

// SaysMilk reports whether it says how many of the shots get steamed milk.
func (h Habit) SaysMilk() bool { return h.SteamedShare != nil || h.SteamedShots > 0 }

// Milk reports whether it says that some of the shots get steamed milk.
func (h Habit) Milk() bool { return said(h.SteamedShare) > 0 || h.SteamedShots > 0 }

// HotWater returns how many litres it says are drawn from the steam boiler a day; 0
// where it does not say.
func (h Habit) HotWater() float64 { return said(h.HotWaterLitres) }

// Validate checks that each figure is one a machine can see.
func (h Habit) Validate() error {
	return AllOf(
		between("weekday_shots", h.WeekdayShots, 0, 3000, "shots a day"),
		between("weekend_shots", h.WeekendShots, 0, 3000, "shots a day"),
		between("steamed_share", said(h.SteamedShare), 0, 1, "(a share of the shots)"),
		between("steamed_shots", h.SteamedShots, 0, 3000, "shots a day"),
		between("hot_water_litres", said(h.HotWaterLitres), 0, 200, "litres a day"),
		between("dose_grams", h.DoseGrams, 0, 40, "g"),
		between("yield_grams", h.YieldGrams, 0, 500, "g"),
		between("hot_hours", h.HotHours, 0, 24, "hours a day"),
		between("flush_before_grams", said(h.FlushBeforeGrams), 0, 500, "g"),
		between("flush_after_grams", said(h.FlushAfterGrams), 0, 500, "g"),
		between("warm_up_grams", said(h.WarmUpGrams), 0, 5000, "g"),
		between("puck_grams_per_gram", said(h.PuckGramsPerGram), 0, 3, "g of water a gram of dry coffee"),
		between("steam_grams", said(h.SteamGrams), 0, 500, "g"),
		refuse(said(h.SteamedShare) > 0 && h.SteamedShots > 0, "steamed_shots", h.SteamedShots, "either the shots with milk a day or their share, not both"),
		refuse(h.HotHours > 0 && len(h.HotTimer) > 0, "hot_hours", h.HotHours, "either the hours a day or the timer, not both"),
		each("hot_timer", h.HotTimer, func(t Timer, _ []Timer) error { return t.Validate() }),
		each("drinks", h.Drinks, Drink.validate),
	)
}

func (d Drink) validate(before []Drink) error {
	named := slices.ContainsFunc(before, func(b Drink) bool { return strings.EqualFold(b.Name, d.Name) })
	return AllOf(
		required("name", d.Name, "the name of the drink as the log writes it"),
		name("name", d.Name, 60),
		refuse(named, "name", d.Name, "each drink once"),
		between("hot_water_litres", d.HotWaterLitres, 0, 2, "litres"),
	)
}

// said returns a figure; 0 for one that was not said.
func said(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}
