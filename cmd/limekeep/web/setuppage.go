package web

import (
	"net/http"
	"net/url"
	"slices"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/interview"
	"limekeep/schedule/record"
)

// setupPath is where a place is set up by questions.
const setupPath = "/setup"

// questionPage asks one question; what was answered before stands in the address, so
// that it can be left, kept and come back to.
type questionPage struct {
	interview.Question
	Path       string
	Number, Of int
	Costs      string
	Value      string // as typed
	Problem    string // with what was typed
	Before     []answered
	Back       string // address of the question before; empty at the first
}

// answered is a question that was answered, and the address that asks it again.
type answered struct {
	ID, Ask, Value, Label string
	Change                string
}

// reviewPage shows all answers before they are written down.
type reviewPage struct {
	Path    string
	Token   string
	Button  string
	Answers []answered
	Assumed []string
	Back    string
	Problem string
}

// setUpPage is of a place that is set up.
type setUpPage struct {
	Fresh     bool // it was set up just now, with the answers in the address
	Assumed   []string
	Next      []string // three things to do
	PlaceFile string
}

// asking is a list of questions, given the answers so far, that are asked at an
// address.
type asking struct {
	Path      string
	questions func(interview.Answers) []interview.Question
}

// setupAsking asks what a place is set up by. zone is what it takes for the place's.
func setupAsking(zone string) asking {
	return asking{setupPath, func(a interview.Answers) []interview.Question { return interview.Questions(a, zone) }}
}

// next returns the first question that was not answered yet; false at the end.
func (k asking) next(a interview.Answers) (interview.Question, bool) {
	for _, q := range k.questions(a) {
		if a[q.ID] == "" {
			return q, true
		}
	}
	return interview.Question{}, false
}

// answersIn reads the answers in an address or a form. One that cannot be counts as
// not given.
func (k asking) answersIn(given url.Values, today record.Date) interview.Answers {
	a := interview.Answers{}
	for range given {
		more := false
		for _, q := range k.questions(a) { // answers bring further questions
			typed := given.Get(q.ID)
			if a[q.ID] != "" || typed == "" {
				continue
			}
			if is, err := q.Read(typed, today); err == nil {
				a[q.ID], more = is, true
			}
		}
		if !more {
			break
		}
	}
	return a
}

// list puts answers in the order of their questions.
func (k asking) list(a interview.Answers) []answered {
	var all []answered
	for _, q := range k.questions(a) {
		if a[q.ID] == "" {
			continue
		}
		one := answered{ID: q.ID, Ask: q.Ask, Value: a[q.ID], Label: a[q.ID], Change: k.addressWithout(a, q.ID)}
		if a[q.ID] == interview.DontKnow {
			one.Label = wording.IDontKnow
		}
		if i := slices.IndexFunc(q.Options, func(o interview.Option) bool { return o.Value == a[q.ID] }); i >= 0 {
			one.Label = q.Options[i].Label
		}
		all = append(all, one)
	}
	return all
}

// addressWithout returns the address of the questions without some answers.
func (k asking) addressWithout(a interview.Answers, ids ...string) string {
	kept := url.Values{}
	for _, q := range k.questions(a) {
		if a[q.ID] != "" && !slices.Contains(ids, q.ID) {
			kept.Set(q.ID, a[q.ID])
		}
	}
	if len(kept) == 0 {
		return k.Path
	}
	return k.Path + "?" + kept.Encode()
}

// setupPages tell how a place that is set up was set up, and how to change it.
type setupPages struct{ *handler }

func (h setupPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+setupPath, h.setUp)
	mux.HandleFunc("POST "+setupPath, func(w http.ResponseWriter, r *http.Request) { // sent again
		http.Redirect(w, r, setupPath, http.StatusSeeOther)
	})
}

func (h setupPages) setUp(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := setUpPage{}
	if a := setupAsking(opened.Place.Zone).answersIn(r.URL.Query(), opened.Today); len(a) > 0 {
		f, err := h.foreseeOn(r.Context(), opened)
		if err != nil {
			h.fail(w, r, err)
			return
		}
		answer := advice.AnswerToSetUp(f, a.Place(opened.Today, opened.Place.Zone).AllAssumed(), true, nil)
		p.Fresh, p.Assumed, p.Next = true, answer.Assumed, answer.Next
	}
	file, err := placefile.Write(schedule.Setup{Place: opened.Place, Equipment: opened.Book.Equipment(), Care: opened.Book.OwnCare().Body}, p.Assumed)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p.PlaceFile = string(file)
	title := wording.HowItIsSetUp
	if p.Fresh {
		title = wording.ItIsSetUp
	}
	h.show(w, r, http.StatusOK, "setup", page{Title: title, Place: opened.Info(), Body: p})
}

// typedAnswer returns what was typed in answer to a question, and whether it was asked
// and answered at all.
func typedAnswer(given url.Values, q interview.Question) (string, bool) {
	if given.Get("unknown") == q.ID {
		return interview.DontKnow, true
	}
	typed := given.Get(q.ID)
	return typed, typed != "" || given.Get("asked") == q.ID
}
