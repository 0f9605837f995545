package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Fleet answers programs that ask about many places, where one server has them all. What
// is about a single one is asked below its own address.
type Fleet struct {
	SetUp   *FleetSetUp
	Compare func(ctx context.Context, group, order string) day.Comparison
	Written func() // hears that something was written down
	Tell    Teller
}

// FleetSetUps is the address that takes a table of places, and MostFleetTable what a
// request to it may weigh, in bytes.
const (
	FleetSetUps    = Prefix + "/fleet/setups"
	MostFleetTable = 20 << 20
)

// DistrictTestGiven is a water test of a district.
type DistrictTestGiven struct {
	District string          `json:"district" doc:"As places name it in water_district" example:"graz-west"`
	On       record.Date     `json:"on,omitempty" format:"date" doc:"Today where left out"`
	Values   []MeasuredGiven `json:"values" minItems:"1"`
	Celsius  float64         `json:"celsius,omitempty" doc:"Of the water when its pH was measured; 15 where left out"`
	Note     string          `json:"note,omitempty"`
}

// Register puts the addresses into a mux, and returns what describes them.
func (f *Fleet) Register(mux *http.ServeMux) *huma.OpenAPI {
	api := newAPI(mux)
	api.OpenAPI().Info.Description += " These are the addresses about all places of a server; those about one lie below /at/ and its id."
	s := &Server{Tell: f.Tell}
	type asking struct {
		Group string `query:"group" doc:"Only places of this chain or customer"`
		By    string `query:"by" enum:"harm,scale,use,hardness,score,name" doc:"The order; by harm where left out"`
	}
	huma.Register(api, asked[day.Comparison](api, http.MethodGet, "compare-places", "/fleet/comparison",
		"Places beside each other, by the last forecast of each; nothing is worked out for it", "ask", http.StatusOK),
		func(ctx context.Context, in *asking) (*answer, error) {
			return &answer{f.Compare(ctx, in.Group, in.By)}, nil
		})
	setups := asked[FleetAnswer](api, http.MethodPost, "set-up-places", "/fleet/setups",
		"Set many places up from a table over a template, or change them; all of it or, where anything is wrong with it, nothing", "set up", http.StatusOK)
	setups.MaxBodyBytes = MostFleetTable
	post(s, api, setups, func(ctx context.Context, in FleetGiven) (any, error) {
		done, err := f.SetUp.Apply(ctx, 0, in)
		if err == nil && !in.DryRun {
			f.Written()
		}
		return done, err
	})
	post(s, api, asked[Written](api, http.MethodPost, "add-district-water-test", "/fleet/water-tests",
		"Write down a water test of a district, which counts for all places on it", "write down", http.StatusCreated), func(ctx context.Context, in DistrictTestGiven) (any, error) {
		test, err := WaterTestGiven{Values: in.Values, Celsius: in.Celsius, Note: in.Note}.test()
		if err != nil {
			return nil, err
		}
		test.District = in.District
		written, err := f.SetUp.Journal.AddDistrictTest(ctx, record.DateOf(f.SetUp.Days.Now().In(time.Local)), in.On, test)
		if err == nil {
			f.Written()
		}
		return Written{written.Record}, err
	})
	return api.OpenAPI()
}
