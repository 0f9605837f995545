package web

import (
	"context"
	"net/http"

	"limekeep/cmd/limekeep/web/api"
)

// programs answers programs under /api/v1.
type programs struct{ *handler }

func (h programs) routes(mux *http.ServeMux) {
	written := h.Journal.From("program")
	(&api.Server{
		Open: h.open, Foresee: h.foresee, Journal: written,
		SetUp: &api.SetUp{Days: h.Days, Journal: written, Moment: func(ctx context.Context) (api.SetUpMoment, error) {
			opened, err := h.open(ctx)
			if err != nil {
				return api.SetUpMoment{}, err
			}
			return api.SetUpMoment{Today: opened.Today, Zone: opened.Place.Zone, Place: opened.Place.ID}, nil
		}},
		OwnCalendar: h.OwnCal,
		CalendarChanged: func(place string) {
			h.publisher.renewSoon()
			go h.publisher.refreshOwn(context.Background(), place)
		},
		Tell: h.tellPrograms,
	}).Register(mux)
}

// tellPrograms says with which status and words programs are told of an error.
func (h *handler) tellPrograms(ctx context.Context, err error) (int, string) {
	f := tell(err)
	if f.status == http.StatusInternalServerError && ctx.Err() == nil {
		h.log.ErrorContext(ctx, "a program could not be answered", "error", err)
	}
	return f.status, f.text
}
