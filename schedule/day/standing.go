package day

import (
	"cmp"
	"context"
	"encoding/json"
	"iter"
	"slices"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/figure"
)

// Standing is how a place stands beside others: the figures by which whoever has many
// compares them. It is kept whenever a forecast was worked out, so that many are compared
// without working anything out.
type Standing struct {
	Place    string      `json:"place"` // id
	Name     string      `json:"name"`  // for people
	Group    string      `json:"group"` // the chain or the customer that it belongs to; empty for none
	District string      `json:"water_district"`
	Today    record.Date `json:"worked_out_on"`

	Scale        *StandingScale    `json:"most_scale"`    // of the vessel that likely holds the most; null where no scale is followed
	ShotsADay    float64           `json:"shots_a_day"`   // to come, of all machines, mean of four weeks
	LitresADay   float64           `json:"litres_a_day"`  // the same
	Hardness     *StandingHardness `json:"hardness"`      // of its supply; null where it was never tested
	Past         int               `json:"overdue"`       // tasks past their likely date, routine not among them
	Soon         int               `json:"soon"`          // likely within a month
	Alarms       int               `json:"alarms"`        // what is dangerous or wrong
	HarmMinutes  float64           `json:"harm_per_week"` // that a week more of waiting costs, as the planner counts it
	Found        int               `json:"findings"`      // that forecasts were compared with
	Held         float64           `json:"held"`          // share of them inside the window
	HeldPromised float64           `json:"held_promised"` // share that windows are to hold
}

// StandingScale is the scale of a vessel.
type StandingScale struct {
	Task  string             `json:"task"` // that takes it off
	Name  string             `json:"vessel"`
	Grams figure.Percentiles `json:"grams"`
}

// StandingHardness is what the newest test of a supply says.
type StandingHardness struct {
	MgPerL   float64     `json:"mg_per_l_caco3"`
	On       record.Date `json:"on"`
	District bool        `json:"of_the_district"` // it was the district's water
}

// comparedDays is over how many days to come use is averaged.
const comparedDays = 28

// standing works out how the place stands.
func (f *Forecast) standing() Standing {
	info := f.Day.Info()
	s := Standing{Place: info.Place, Name: info.Name, Group: info.Group, District: info.District, Today: f.Day.Today, Alarms: f.alarmCount(), Hardness: f.Day.hardness()}
	s.Past, s.Soon = f.pastAndSoon()
	s.HarmMinutes = f.weekOfHarm()
	for _, x := range f.outcomes {
		if x.Scale != nil && (s.Scale == nil || x.Scale.Grams.Likely > s.Scale.Grams.Likely) {
			name := x.Duty.Part
			if v := x.Duty.Vessel(); v != nil {
				name = string(v.Kind)
			}
			s.Scale = &StandingScale{Task: x.Duty.ID, Name: name + ", " + x.Duty.Equipment.Title(), Grams: x.Scale.Grams}
		}
	}
	for _, course := range f.courses {
		for on := s.Today + 1; on <= s.Today+comparedDays; on++ {
			use := course.On(on)
			s.ShotsADay += use.Shots / comparedDays
			s.LitresADay += use.Litres() / comparedDays
		}
	}
	s.ShotsADay, s.LitresADay = cents(s.ShotsADay), cents(s.LitresADay)
	for _, t := range f.Day.Score().Tallies {
		if t.Of == "all" && t.Cases > 0 {
			s.Found, s.Held, s.HeldPromised = t.Cases, t.Inside/float64(t.Cases), t.Promise
		}
	}
	return s
}

// hardness returns what the newest test of a supply says; nil where there is none.
func (d *Day) hardness() *StandingHardness {
	var newest *StandingHardness
	for _, e := range d.Book.Equipment() {
		if e.Line == nil {
			continue
		}
		for _, t := range d.Book.WaterTests(e.ID) {
			v := t.Body.Test.Value(water.Hardness)
			mgPerL, err := v.Quantity.Canonical(v.Value, v.Unit)
			if t.Body.After != "" || v.Quantity == "" || err != nil || newest != nil && t.On < newest.On {
				continue
			}
			newest = &StandingHardness{MgPerL: mgPerL, On: t.On, District: t.Body.District != ""}
		}
	}
	return newest
}

const (
	keptStanding  = "standing"
	standingBytes = 8 << 10 // of a place: those of about a dozen days
)

// keepStanding keeps how the place stands, by and by, for whoever compares places.
func (f *Forecast) keepStanding(ctx context.Context) {
	o := f.Day.opener
	if o.Standings == nil {
		return
	}
	s := f.Standing()
	data, err := json.Marshal(s)
	if err != nil {
		return // a figure that is none: nothing to compare
	}
	o.mu.Lock()
	same := o.standing == string(data)
	o.standing = string(data)
	o.mu.Unlock()
	if same {
		return
	}
	working := context.WithoutCancel(ctx)
	o.keeping.Go(func() {
		_ = o.Standings.KeepDerived(working, s.Place, keptStanding, s.Today.String(), data, standingBytes) // worth no complaint
	})
}

// KeptStanding returns how a place stood by a day, as it was worked out last; nil where it
// never was.
func KeptStanding(ctx context.Context, kept schedule.DerivedStore, place string, by record.Date) (*Standing, error) {
	all, err := kept.AllDerived(ctx, place, keptStanding)
	if err != nil {
		return nil, err
	}
	var newest *Standing
	for _, data := range all {
		var s Standing
		if json.Unmarshal(data, &s) == nil && s.Today <= by && (newest == nil || s.Today > newest.Today) {
			newest = &s
		}
	}
	return newest, nil
}

// Comparison is places beside each other.
type Comparison struct {
	Places  []Standing `json:"places"`
	Waiting []string   `json:"not_worked_out"` // places of which nothing is known yet
	Total   Standing   `json:"total"`          // sums of those of which something is; of shares and scale none
}

// Orders in which places are compared; by harm where none of them is asked for.
const (
	ByHarm     = "harm"
	ByScale    = "scale"
	ByUse      = "use"
	ByHardness = "hardness"
	ByScore    = "score"
	ByName     = "name"
)

// ComparisonOrders lists them.
func ComparisonOrders() []string {
	return []string{ByHarm, ByScale, ByUse, ByHardness, ByScore, ByName}
}

// Compare puts places beside each other: those of a group, or all where it is empty; what
// needs most looking at first.
func Compare(all []Standing, waiting []string, group, order string) Comparison {
	c := Comparison{Places: []Standing{}, Waiting: slices.Concat([]string{}, waiting)}
	for _, s := range all {
		if group != "" && !strings.EqualFold(s.Group, group) {
			continue
		}
		c.Places = append(c.Places, s)
		c.Total.ShotsADay += s.ShotsADay
		c.Total.LitresADay += s.LitresADay
		c.Total.Past += s.Past
		c.Total.Soon += s.Soon
		c.Total.Alarms += s.Alarms
		c.Total.HarmMinutes += s.HarmMinutes
		c.Total.Found += s.Found
	}
	slices.SortStableFunc(c.Places, func(a, b Standing) int {
		return cmp.Or(compareBy(order, a, b), cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), cmp.Compare(a.Place, b.Place))
	})
	return c
}

func compareBy(order string, a, b Standing) int {
	grams := func(s Standing) float64 {
		if s.Scale == nil {
			return -1
		}
		return s.Scale.Grams.Likely
	}
	hardness := func(s Standing) float64 {
		if s.Hardness == nil {
			return -1
		}
		return s.Hardness.MgPerL
	}
	short := func(s Standing) float64 { // of what windows were to hold
		if s.Found == 0 {
			return -1
		}
		return s.HeldPromised - s.Held
	}
	switch order {
	case ByScale:
		return cmp.Compare(grams(b), grams(a))
	case ByUse:
		return cmp.Compare(b.ShotsADay, a.ShotsADay)
	case ByHardness:
		return cmp.Compare(hardness(b), hardness(a))
	case ByScore:
		return cmp.Compare(short(b), short(a))
	case ByName:
		return 0
	}
	return cmp.Or(cmp.Compare(b.Alarms, a.Alarms), cmp.Compare(b.HarmMinutes, a.HarmMinutes), cmp.Compare(b.Past, a.Past))
}

// ComparisonColumns head the rows of Rows.
var ComparisonColumns = []string{
	"place", "name", "group", "water_district", "worked_out_on", "alarms", "overdue", "soon", "harm_minutes_a_week", "vessel", "scale_g_low", "scale_g_likely", "scale_g_high",
	"shots_a_day", "litres_a_day", "hardness_mg_per_l_caco3", "tested_on", "tested", "findings", "held", "promised",
}

// Rows returns the places as rows under ComparisonColumns.
func (c Comparison) Rows() iter.Seq[[]string] {
	return func(yield func([]string) bool) {
		for _, s := range c.Places {
			if !yield(s.Cells()) {
				return
			}
		}
	}
}

// Cells returns the place as a row of a table; what is not known is left open.
func (s Standing) Cells() []string {
	number := func(x float64, digits int) string { return figure.Fixed(x, digits) }
	cells := []string{s.Place, s.Name, s.Group, s.District, s.Today.String(), number(float64(s.Alarms), 0), number(float64(s.Past), 0), number(float64(s.Soon), 0), number(s.HarmMinutes, 1)}
	if s.Scale != nil {
		cells = append(cells, s.Scale.Name, number(s.Scale.Grams.Low, 1), number(s.Scale.Grams.Likely, 1), number(s.Scale.Grams.High, 1))
	} else {
		cells = append(cells, "", "", "", "")
	}
	cells = append(cells, number(s.ShotsADay, 1), number(s.LitresADay, 1))
	if s.Hardness != nil {
		of := "itself"
		if s.Hardness.District {
			of = "district"
		}
		cells = append(cells, number(s.Hardness.MgPerL, 0), s.Hardness.On.String(), of)
	} else {
		cells = append(cells, "", "", "")
	}
	if s.Found > 0 {
		return append(cells, number(float64(s.Found), 0), number(s.Held, 2), number(s.HeldPromised, 2))
	}
	return append(cells, "0", "", "")
}
