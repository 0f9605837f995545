package api

import (
	"context"
	"net/http"
	"path"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"limekeep/schedule/day"
	"limekeep/schedule/journal"
)

// Prefix is where all addresses begin.
const Prefix = "/api/v1"

// AboutUse reports whether what is posted to an address is use, which a token for use
// alone may write down.
func AboutUse(address string) bool {
	switch address {
	case Prefix + "/use", Prefix + "/meter-readings", Prefix + "/bags", Prefix + "/hot-hours", Prefix + "/aways", Prefix + "/aways/ends", Prefix + "/guests":
		return true
	}
	return false
}

// Server answers programs.
type Server struct {
	Open    func(context.Context) (*day.Day, error)
	Foresee func(context.Context) (*day.Forecast, error)
	Journal *journal.Journal // whose source is that of programs

	// Tell says with which status and words an error is answered.
	Tell func(ctx context.Context, err error) (status int, text string)
}

// Register puts the addresses into a mux, and returns what describes them.
func (s *Server) Register(mux *http.ServeMux) *huma.OpenAPI {
	config := huma.DefaultConfig("limekeep", "1")
	config.Info.Description = "When each piece of care of an espresso machine, its grinder and its water falls due, and what was done. Dates are those of the place; amounts have their unit in their name."
	config.OpenAPIPath, config.DocsPath, config.SchemasPath = Prefix+"/openapi", "", ""
	config.CreateHooks = nil // no members that nobody asked for
	config.Components = &huma.Components{
		Schemas: huma.NewMapRegistry("#/components/schemas/", schemaName),
		SecuritySchemes: map[string]*huma.SecurityScheme{
			"token": {Type: "http", Scheme: "bearer", Description: "A token of an app, made on the page of calendar and apps or by “limekeep apps add”. A token for use alone may post use; one for all may do all."},
		},
	}
	config.Security = []map[string][]string{{"token": {}}}
	api := humago.New(mux, config)
	s.questions(api)
	s.planQuestions(api)
	s.records(api)
	s.planRecords(api)
	return api.OpenAPI()
}

// schemaName names a type by its room, since rooms use the same words.
func schemaName(t reflect.Type, hint string) string {
	name := huma.DefaultSchemaNamer(t, hint)
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	room := path.Base(t.PkgPath())
	if t.Name() == "" || room == "." || room == "api" {
		return name
	}
	return strings.ToUpper(room[:1]) + room[1:] + name
}

// answer is what every question gives back.
type answer[T any] struct{ Body T }

// ask registers a question: in is what the address holds.
func ask[In, Out any](s *Server, api huma.API, id, address, summary string, about func(context.Context, *day.Forecast, *In) (Out, error)) {
	huma.Register(api, huma.Operation{OperationID: id, Method: http.MethodGet, Path: Prefix + address, Summary: summary, Tags: []string{"ask"}},
		func(ctx context.Context, in *In) (*answer[Out], error) {
			f, err := s.Foresee(ctx)
			if err != nil {
				return nil, s.problem(ctx, err)
			}
			out, err := about(ctx, f, in)
			if err != nil {
				return nil, s.problem(ctx, err)
			}
			return &answer[Out]{out}, nil
		})
}

// given is what is posted.
type given[T any] struct{ Body T }

// Written is a record that was written down.
type Written struct {
	Record int64 `json:"record" doc:"Number of the record, by which it is taken back"`
}

// take registers what is written down.
func take[In any](s *Server, api huma.API, id, address, summary string, write func(context.Context, *day.Day, In) (int64, error)) {
	huma.Register(api, huma.Operation{OperationID: id, Method: http.MethodPost, Path: Prefix + address, Summary: summary, Tags: []string{"write down"}, DefaultStatus: http.StatusCreated},
		func(ctx context.Context, in *given[In]) (*answer[Written], error) {
			opened, err := s.Open(ctx)
			if err != nil {
				return nil, s.problem(ctx, err)
			}
			written, err := write(ctx, opened, in.Body)
			if err != nil {
				return nil, s.problem(ctx, err)
			}
			return &answer[Written]{Written{written}}, nil
		})
}

// problem answers with an error.
func (s *Server) problem(ctx context.Context, err error) error {
	status, text := s.Tell(ctx, err)
	return huma.NewError(status, text)
}
