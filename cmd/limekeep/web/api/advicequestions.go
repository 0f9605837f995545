package api

import (
	"context"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/score"
	"limekeep/water/descaling"
)

// bath asks for the plan of a descaling.
type bath struct {
	ID     string  `path:"id" doc:"Id of the machine"`
	Vessel string  `path:"vessel" doc:"Id of the vessel"`
	Acid   string  `query:"acid" enum:"citric acid,lactic acid,sulfamic acid" default:"citric acid"`
	Litres float64 `query:"litres" minimum:"0" maximum:"100" doc:"What one bath holds, 0.02 to 100; what the vessel holds where left out"`
}

// askAdvice registers what is worked out of an answer on request: how a vessel is
// descaled, and how forecasts fared.
func (s *Server) askAdvice(api huma.API) {
	ask(s, api, "descaling", "/machines/{id}/vessels/{vessel}/descaling", "How a vessel is descaled: cautions, acid, baths, rinse, or why it is not for its owner to do", func(_ context.Context, f *day.Forecast, in *bath) (advice.Descaling, error) {
		return advice.Descale(f, advice.DescaleQuery{Vessel: in.ID + "/" + in.Vessel, Acid: descaling.Acid(in.Acid), Litres: in.Litres})
	})
	ask(s, api, "score", "/score", "What was found against what had been forecast", func(_ context.Context, f *day.Forecast, _ *nothing) (score.Score, error) {
		return f.Day.Score(), nil
	})
}
