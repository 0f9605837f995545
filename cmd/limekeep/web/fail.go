package web

import (
	"encoding/json"
	"errors"
	"net/http"

	"limekeep/cmd/limekeep/web/api"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/equilibrium"
	"limekeep/water/inference"
)

// failure is how an error is told to the one who asked.
type failure struct {
	status int
	title  string
	text   string
}

// tell says how to answer an error. Only what the asker can put right is told
// word for word.
func tell(err error) failure {
	var tooLarge *http.MaxBytesError
	var early *day.BeforeSetUpError
	switch {
	case errors.As(err, &early):
		return failure{http.StatusServiceUnavailable, wording.ClockBeforeSetUp,
			wording.PutTheClockRight(early.Today.Long())}
	case errors.Is(err, schedule.ErrNoPlace):
		return failure{http.StatusServiceUnavailable, wording.NothingIsSetUpYet,
			wording.SetUpFirst}
	case errors.Is(err, api.ErrSetUp):
		return failure{http.StatusConflict, wording.SetUpAlready, wording.SetUpAlreadyHere}
	case errors.As(err, &tooLarge):
		return failure{http.StatusRequestEntityTooLarge, wording.TooMuch, wording.FormTooLarge}
	case errors.Is(err, record.ErrUnknown):
		return failure{http.StatusNotFound, wording.NotKnown, err.Error()}
	case mistake(err):
		return failure{http.StatusUnprocessableEntity, wording.ThatCannotBeTaken, err.Error()}
	}
	return failure{http.StatusInternalServerError, wording.SomethingWentWrong, wording.CouldNotBeAnswered}
}

// mistake reports whether an error is about what somebody wrote.
func mistake(err error) bool {
	var (
		field         *record.FieldError
		quantity      *water.QuantityError
		unit          *water.UnitError
		method        *water.MethodError
		value         *water.ValueError
		contradiction *inference.ContradictionError
		convergence   *equilibrium.ConvergenceError
	)
	return errors.As(err, &field) || errors.Is(err, water.ErrEmptyTest) ||
		errors.As(err, &quantity) || errors.As(err, &unit) || errors.As(err, &method) || errors.As(err, &value) ||
		errors.As(err, &contradiction) || errors.As(err, &convergence)
}

// blamable reports whether an error can be shown beside what was filled in.
func blamable(err error) bool { return mistake(err) || errors.Is(err, record.ErrUnknown) }

// fail answers a request with the page of an error.
func (h *handler) fail(w http.ResponseWriter, r *http.Request, err error) {
	f := h.failure(r, err)
	var unknown *record.UnknownError
	if f.status == http.StatusNotFound && errors.As(err, &unknown) {
		f.text = wording.NothingIsCalled(unknown.What, unknown.Name) // people choose from pages, not from a list of ids
	}
	h.message(w, r, f.status, f.title, f.text)
}

// failJSON answers a request with an error as JSON.
func (h *handler) failJSON(w http.ResponseWriter, r *http.Request, err error) {
	f := h.failure(r, err)
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(f.status)
	_ = json.NewEncoder(w).Encode(map[string]string{"error": f.text})
}

// failure logs an error that is nobody's mistake and says how to answer it. A
// client that went away, or a server that stops, is no error.
func (h *handler) failure(r *http.Request, err error) failure {
	f := tell(err)
	switch {
	case f.status != http.StatusInternalServerError:
	case r.Context().Err() != nil:
		return failure{http.StatusServiceUnavailable, wording.GivenUp, wording.GivenUpBecause}
	default:
		h.log.ErrorContext(r.Context(), "a request failed", "page", r.Pattern, "error", err)
	}
	return f
}
