package api

import (
	"context"
	"errors"
	"maps"
	"net/http"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/interview"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// SetUp sets a place up, by answers to the questions that commands and pages ask or by a
// place file, and says what follows from that.
type SetUp struct {
	Days    *day.Opener
	Journal *journal.Journal

	// Moment says what programs are told of before anything is asked. Commands do
	// without it.
	Moment func(context.Context) (SetUpMoment, error)
}

// SetUpMoment is what is known before anything is asked.
type SetUpMoment struct {
	Today record.Date
	Zone  string // that the place is likely in; empty where unknown
	Place string // that is set up already; empty for none
}

// ErrSetUp says that a place is set up already.
var ErrSetUp = errors.New("a place is set up already: change it by a place file, or on the pages")

// SetUpAnswer is what follows from a set-up.
type SetUpAnswer struct {
	journal.Changed
	advice.SetUp
	Tests []journal.Receipt `json:"water_tests"`
}

// SetUpAnswers are answers by the id of their question.
type SetUpAnswers struct {
	Answers map[string]string `json:"answers" doc:"By the id of the question: the value of an option, a number, a day, month or year, or a line; a question mark where nobody knows"`
}

// SetUpQuestions are what is asked, given some answers.
type SetUpQuestions struct {
	Place     string          `json:"place" doc:"Id of the place that is set up already; empty where none is, and what is asked can be taken"`
	Next      string          `json:"next" doc:"Id of the first question that was not answered yet; empty where all were"`
	Questions []SetUpQuestion `json:"questions" doc:"In their order; some are asked only after others were answered"`
	Assumed   []string        `json:"assumed" doc:"What would be taken for granted with no more answers than these, a sentence each"`
}

// SetUpQuestion is one question with its answer.
type SetUpQuestion struct {
	ID      string        `json:"id"`
	Ask     string        `json:"ask"`
	Help    string        `json:"help"`
	Kind    string        `json:"kind" enum:"choice,number,day,text" doc:"How it is answered; a day may be a month or a year"`
	Options []SetUpOption `json:"options" doc:"Of a choice"`
	Usual   string        `json:"usual" doc:"An answer to begin with; may be empty"`
	Unknown string        `json:"unknown" doc:"What is assumed where nobody knows"`
	Answer  string        `json:"answer" doc:"As it is kept; empty where it was not answered"`
	Costs   string        `json:"costs" doc:"Of the next question: what it costs not to know its answer"`
}

// SetUpOption is one answer of a choice.
type SetUpOption struct {
	Value string `json:"value"`
	Label string `json:"label"`
}

// SetUpGiven is a whole set-up: by answers, or by a place file.
type SetUpGiven struct {
	Answers   map[string]string `json:"answers,omitempty" doc:"As the questions ask; what is not answered counts as not known"`
	PlaceFile string            `json:"place_file,omitempty" doc:"A place file as text, in place of answers; applied again it changes what differs"`
}

// Register puts the addresses into a mux by themselves, while there is no place yet that
// anything else could be asked about.
func (u *SetUp) Register(mux *http.ServeMux, tell Teller) *huma.OpenAPI {
	s := &Server{SetUp: u, Tell: tell}
	api := newAPI(mux)
	s.setUp(api)
	return api.OpenAPI()
}

func (s *Server) setUp(api huma.API) {
	u := s.SetUp
	if u == nil {
		return
	}
	post(s, api, asked[SetUpQuestions](api, http.MethodPost, "set-up-questions", "/setup/questions",
		"The questions of a set-up, given some answers, and what not to know the next one costs; writes nothing", "set up", http.StatusOK),
		func(ctx context.Context, in SetUpAnswers) (any, error) { return u.questions(ctx, in.Answers) })
	post(s, api, asked[SetUpAnswer](api, http.MethodPost, "set-up", "/setup",
		"Set the place up by answers, or by a place file; answers with what was assumed, the next three things to do, and which dates a change moved", "set up", http.StatusCreated),
		func(ctx context.Context, in SetUpGiven) (any, error) { return u.take(ctx, in) })
}

// questions lists what is asked.
func (u *SetUp) questions(ctx context.Context, given map[string]string) (SetUpQuestions, error) {
	m, err := u.Moment(ctx)
	if err != nil {
		return SetUpQuestions{}, err
	}
	a, err := readAnswers(given, m)
	if err != nil {
		return SetUpQuestions{}, err
	}
	out := SetUpQuestions{Place: m.Place, Assumed: nonNil(a.Place(m.Today, m.Zone).Assumed)}
	for _, q := range interview.Questions(a, m.Zone) {
		asked := SetUpQuestion{ID: q.ID, Ask: q.Ask, Help: q.Help, Kind: string(q.Kind), Options: []SetUpOption{}, Usual: q.Usual, Unknown: q.Unknown, Answer: a[q.ID]}
		for _, o := range q.Options {
			asked.Options = append(asked.Options, SetUpOption{o.Value, o.Label})
		}
		if asked.Answer == "" && out.Next == "" {
			out.Next = q.ID
			if asked.Costs, err = a.Cost(ctx, u.Days.Catalogue, m.Today, m.Zone, q); err != nil {
				return SetUpQuestions{}, err
			}
		}
		out.Questions = append(out.Questions, asked)
	}
	return out, nil
}

// readAnswers reads answers as they were given. What is wrong is told all at once.
func readAnswers(given map[string]string, m SetUpMoment) (interview.Answers, error) {
	a := interview.Answers{}
	wrong := map[string]error{}
	for more := true; more; { // answers bring further questions
		more = false
		for _, q := range interview.Questions(a, m.Zone) {
			typed, ok := given[q.ID]
			if !ok || a[q.ID] != "" || wrong[q.ID] != nil {
				continue
			}
			more = true
			is, err := q.Read(typed, m.Today)
			if err != nil {
				wrong[q.ID] = err
				continue
			}
			a[q.ID] = is
		}
	}
	var all []error
	for _, id := range slices.Sorted(maps.Keys(given)) {
		switch {
		case wrong[id] != nil:
			all = append(all, wrong[id])
		case a[id] == "":
			var ids []string
			for _, q := range interview.Questions(a, m.Zone) {
				ids = append(ids, q.ID)
			}
			all = append(all, &record.FieldError{Field: "answers." + id, Value: given[id], Want: "answers to what is asked: " + record.OneOf(id, ids)})
		}
	}
	return a, record.AllOf(all...)
}

// take sets the place up.
func (u *SetUp) take(ctx context.Context, in SetUpGiven) (SetUpAnswer, error) {
	m, err := u.Moment(ctx)
	if err != nil {
		return SetUpAnswer{}, err
	}
	if in.PlaceFile != "" {
		if len(in.Answers) > 0 {
			return SetUpAnswer{}, &record.FieldError{Field: "place_file", Value: "beside answers", Want: "either answers or a place file"}
		}
		setup, err := placefile.Read(strings.NewReader(in.PlaceFile), func(s schedule.Setup) error { return journal.CheckSetUp(u.Days.Catalogue, m.Today, s) })
		if _, ok := record.MistakesOf(err); err != nil && !ok {
			return SetUpAnswer{}, &record.FieldError{Field: "place_file", Value: in.PlaceFile, Want: "a place file as the README shows it; this is " + err.Error()}
		}
		if err != nil {
			return SetUpAnswer{}, err
		}
		if m.Place != "" && setup.Place.ID != m.Place {
			return SetUpAnswer{}, &record.FieldError{Field: "place.id", Value: setup.Place.ID, Want: m.Place + ", the place that is set up here"}
		}
		return u.Apply(ctx, m.Today, setup)
	}
	if m.Place != "" {
		return SetUpAnswer{}, ErrSetUp
	}
	if in.Answers == nil {
		return SetUpAnswer{}, &record.FieldError{Field: "answers", Want: "answers by the id of their questions; an empty object where nothing is known"}
	}
	a, err := readAnswers(in.Answers, m)
	if err != nil {
		return SetUpAnswer{}, err
	}
	return u.Start(ctx, m.Today, a.Place(m.Today, m.Zone))
}

// Start writes down what the questions were answered with, water tests among it, and
// answers with what follows. today is that of the place where zero.
func (u *SetUp) Start(ctx context.Context, today record.Date, told interview.Told) (SetUpAnswer, error) {
	s := SetUpAnswer{Tests: []journal.Receipt{}}
	var err error
	if s.Changed, err = u.Journal.SetUp(ctx, today, told.Setup); err != nil {
		return s, err
	}
	d, err := u.Days.Open(ctx, schedule.Moment{Place: told.Setup.Place.ID, Today: today})
	if err != nil {
		return s, err
	}
	for _, t := range told.Tests {
		w, err := u.Journal.AddWaterTest(ctx, d, 0, t)
		if err != nil {
			return s, err
		}
		if d, err = u.Journal.After(ctx, d, w); err != nil {
			return s, err
		}
		s.Tests = append(s.Tests, w)
	}
	f, err := d.Forecast(ctx)
	if err != nil {
		return s, err
	}
	s.SetUp = advice.AnswerToSetUp(f, told.AllAssumed(), true, nil)
	return s, nil
}

// Apply makes the records say what a place file says, and answers with what follows and,
// of a place that was there already, with the dates that moved. today is that of the
// place where zero.
func (u *SetUp) Apply(ctx context.Context, today record.Date, setup schedule.Setup) (SetUpAnswer, error) {
	place := schedule.Moment{Place: setup.Place.ID, Today: today}
	s := SetUpAnswer{Tests: []journal.Receipt{}}
	places, err := u.Days.Records.Places(ctx)
	if err != nil {
		return s, err
	}
	var before []wear.Outcome
	if slices.Contains(places, place.Place) {
		f, err := u.foresee(ctx, place)
		if err != nil {
			return s, err
		}
		before = f.Outcomes()
	}
	if s.Changed, err = u.Journal.SetUp(ctx, today, setup); err != nil {
		return s, err
	}
	f, err := u.foresee(ctx, place)
	if err != nil {
		return s, err
	}
	s.SetUp = advice.AnswerToSetUp(f, setup.Assumed, false, before)
	return s, nil
}

func (u *SetUp) foresee(ctx context.Context, m schedule.Moment) (*day.Forecast, error) {
	d, err := u.Days.Open(ctx, m)
	if err != nil {
		return nil, err
	}
	return d.Forecast(ctx)
}
