package web

import (
	"context"
	"net/http"

	"limekeep/cmd/limekeep/web/api"
)

// programs answers programs under /api/v1.
type programs struct{ *handler }

func (h programs) routes(mux *http.ServeMux) {
	(&api.Server{
		Open: h.open, Foresee: h.foresee, Journal: h.Journal.From("program"),
		Tell: func(ctx context.Context, err error) (int, string) {
			f := tell(err)
			if f.status == http.StatusInternalServerError && ctx.Err() == nil {
				h.log.ErrorContext(ctx, "a program could not be answered", "error", err)
			}
			return f.status, f.text
		},
	}).Register(mux)
}
