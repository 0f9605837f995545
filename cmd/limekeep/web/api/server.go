package api

import (
	"context"
	"encoding/json"
	"net/http"
	"path"
	"reflect"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"limekeep/cmd/limekeep/foreign"
	"limekeep/cmd/limekeep/intake/busycal"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// Prefix is where all addresses begin.
const Prefix = "/api/v1"

// AboutUse reports whether what is posted to an address is use, which a token for use
// alone may write down.
func AboutUse(address string) bool {
	switch address {
	case Prefix + "/use", Prefix + "/meter-readings", Prefix + "/bags", Prefix + "/hot-hours", Prefix + "/aways", Prefix + "/aways/ends", Prefix + "/guests", UseFiles:
		return true
	}
	return false
}

// Server answers programs.
type Server struct {
	Open    func(context.Context) (*day.Day, error)
	Foresee func(context.Context) (*day.Forecast, error)
	Journal *journal.Journal // whose source is that of programs

	SetUp *SetUp // nothing is set up where nil

	OwnCalendar     *busycal.Kept      // the calendars of owners; none can be brought where nil
	CalendarChanged func(place string) // hears that one was brought, named or taken away

	// Tell says with which status and words an error is answered.
	Tell Teller
}

// Teller says with which status and words an error is answered.
type Teller func(ctx context.Context, err error) (status int, text string)

// Register puts the addresses into a mux, and returns what describes them.
func (s *Server) Register(mux *http.ServeMux) *huma.OpenAPI {
	api := newAPI(mux)
	s.questions(api)
	s.planQuestions(api)
	s.askAdvice(api)
	s.records(api)
	s.planRecords(api)
	s.visits(api)
	s.setUp(api)
	s.description(api)
	s.files(api)
	return api.OpenAPI()
}

// newAPI returns what describes the addresses that are registered with it.
func newAPI(mux *http.ServeMux) huma.API {
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
	config.Transformers = append(config.Transformers, toldPlainly)
	config.Security = []map[string][]string{{"token": {}}}
	return humago.New(mux, config)
}

// toldPlainly puts what the library says of a body that it cannot read into our words, and
// sends back no more of it than shows what is meant.
func toldPlainly(_ huma.Context, _ string, answer any) (any, error) {
	problem, ok := answer.(*huma.ErrorModel)
	if !ok {
		return answer, nil
	}
	const most = 200
	for _, detail := range problem.Errors {
		detail.Message = foreign.Text(detail.Message)
		if text, ok := detail.Value.(string); ok && len(text) > most {
			detail.Value = strings.ToValidUTF8(text[:most], "") + "…"
		}
	}
	return answer, nil
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

// answer is what every question gives back. Its type says nothing of what it holds, so
// that the library's code for an address is not there once more for each of them.
type answer struct{ Body any }

// asked describes an address: what it answers with, by its type, under a status.
func asked[Out any](api huma.API, method, id, address, summary, tag string, status int) huma.Operation {
	schema := api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[Out](), true, id+"Response")
	return huma.Operation{
		OperationID: id, Method: method, Path: Prefix + address, Summary: summary, Tags: []string{tag}, DefaultStatus: status,
		Responses: map[string]*huma.Response{strconv.Itoa(status): {Content: map[string]*huma.MediaType{inJSON: {Schema: schema}}}},
	}
}

const inJSON = "application/json"

// ask registers a question: in is what the address holds.
func ask[In, Out any](s *Server, api huma.API, id, address, summary string, about func(context.Context, *day.Forecast, *In) (Out, error)) {
	huma.Register(api, asked[Out](api, http.MethodGet, id, address, summary, "ask", http.StatusOK),
		func(ctx context.Context, in *In) (*answer, error) {
			f, err := s.Foresee(ctx)
			if err != nil {
				return nil, s.problem(ctx, err)
			}
			out, err := about(ctx, f, in)
			if err != nil {
				return nil, s.problem(ctx, err)
			}
			return &answer{out}, nil
		})
}

// given is what is posted. The library holds it to the description of its type.
type given struct{ Body json.RawMessage }

// Written is a record that was written down.
type Written struct {
	Record int64 `json:"record" doc:"Number of the record, by which it is taken back"`
}

// take registers what is written down.
func take[In any](s *Server, api huma.API, id, address, summary string, write func(context.Context, *day.Day, In) (int64, error)) {
	post(s, api, asked[Written](api, http.MethodPost, id, address, summary, "write down", http.StatusCreated), func(ctx context.Context, body In) (any, error) {
		opened, err := s.Open(ctx)
		if err != nil {
			return nil, err
		}
		written, err := write(ctx, opened, body)
		return Written{written}, err
	})
}

// post registers an address to which something is sent.
func post[In any](s *Server, api huma.API, operation huma.Operation, do func(context.Context, In) (any, error)) {
	schema := api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[In](), true, operation.OperationID+"Request")
	operation.RequestBody = &huma.RequestBody{Content: map[string]*huma.MediaType{inJSON: {Schema: schema}}}
	huma.Register(api, operation, func(ctx context.Context, in *given) (*answer, error) {
		var body In
		if err := json.Unmarshal(in.Body, &body); err != nil {
			return nil, huma.Error422UnprocessableEntity("validation failed", &huma.ErrorDetail{Location: "body", Message: err.Error(), Value: string(in.Body)})
		}
		out, err := do(ctx, body)
		if err != nil {
			return nil, s.problem(ctx, err)
		}
		return &answer{out}, nil
	})
}

// problem answers with an error; several mistakes stand one by one in it as well.
func (s *Server) problem(ctx context.Context, err error) error {
	status, text := s.Tell(ctx, err)
	var details []error
	if mistakes, ok := record.MistakesOf(err); ok && status == http.StatusUnprocessableEntity {
		for _, m := range mistakes {
			details = append(details, &huma.ErrorDetail{Message: m.Error(), Location: m.Field, Value: m.Value})
		}
	}
	return huma.NewError(status, text, details...)
}
