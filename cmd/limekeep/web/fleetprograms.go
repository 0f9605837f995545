package web

import (
	"net/http"

	"limekeep/cmd/limekeep/web/api"
)

// fleetPrograms answer programs that ask about all places.
type fleetPrograms struct{ comparedPages }

func (h fleetPrograms) routes(mux *http.ServeMux) {
	if h.places.SetUp == nil {
		return
	}
	setUp := &api.FleetSetUp{Days: h.places.SetUp.Days, Journal: h.places.SetUp.Journal.From("program")}
	(&api.Fleet{SetUp: setUp, Compare: h.compared, Tell: h.tellPrograms, Written: h.places.nudge}).Register(mux)
}
