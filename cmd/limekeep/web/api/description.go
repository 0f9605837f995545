package api

import (
	"context"
	"net/http"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// Description is a place as it is set up: the place and its wishes, its equipment, and
// what the owner changed of the care catalogue. The members are those of a place file.
type Description struct {
	Place     record.Place       `json:"place"`
	Equipment []record.Equipment `json:"equipment"`
	Care      record.OwnCare     `json:"care"`
}

// DescriptionGiven changes a place: each of the three may be left out and then stays.
type DescriptionGiven struct {
	Place     *record.Place      `json:"place,omitempty" doc:"In place of what is known; its id stays"`
	Equipment []record.Equipment `json:"equipment,omitempty" doc:"Each in place of the one with its id, or added where there is none; what is not listed stays"`
	Care      *record.OwnCare    `json:"care,omitempty" doc:"In place of all that was changed of the catalogue"`
}

// RetirementGiven takes equipment out of the place.
type RetirementGiven struct {
	Equipment string `json:"equipment" doc:"Id; its history stays"`
}

// description is about how a place is set up.
func (s *Server) description(api huma.API) {
	ask(s, api, "description", "/description", "The place with its wishes, all equipment and the owner's own care, as they are set up", func(_ context.Context, f *day.Forecast, _ *nothing) (Description, error) {
		return Description{f.Day.Place, nonNil(f.Day.Book.Equipment()), f.Day.Book.OwnCare().Body}, nil
	})
	change(s, api, "change-description", "/description", "Change the place, equipment or own care; answers with what changed", func(ctx context.Context, d *day.Day, in DescriptionGiven) (journal.Changed, error) {
		if in.Place != nil && in.Place.ID != "" && in.Place.ID != d.Place.ID {
			return journal.Changed{}, &record.FieldError{Field: "place.id", Value: in.Place.ID, Want: d.Place.ID + ", which stays"}
		}
		return s.Journal.Change(ctx, d, func(to *schedule.Setup) {
			if in.Place != nil {
				to.Place = *in.Place
				to.Place.ID = d.Place.ID
			}
			if in.Care != nil {
				to.Care = *in.Care
			}
			for _, e := range in.Equipment {
				if i := slices.IndexFunc(to.Equipment, func(known record.Equipment) bool { return e.ID != "" && known.ID == e.ID }); i >= 0 {
					to.Equipment[i] = e
				} else {
					to.Equipment = append(to.Equipment, e)
				}
			}
		})
	})
	change(s, api, "retire", "/retirements", "Take equipment out of the place", func(ctx context.Context, d *day.Day, in RetirementGiven) (journal.Changed, error) {
		return s.Journal.Retire(ctx, d, in.Equipment)
	})
}

// change registers what changes a place and answers with what that changed.
func change[In, Out any](s *Server, api huma.API, id, address, summary string, do func(context.Context, *day.Day, In) (Out, error), most ...int64) {
	operation := asked[Out](api, http.MethodPost, id, address, summary, "set up", http.StatusOK)
	if len(most) > 0 {
		operation.MaxBodyBytes = most[0]
	}
	post(s, api, operation, func(ctx context.Context, in In) (any, error) {
		opened, err := s.Open(ctx)
		if err != nil {
			return nil, err
		}
		return do(ctx, opened, in)
	})
}
