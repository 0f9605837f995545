package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"sync"

	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// answers keeps the answers to what was written last, so that a page that is loaded
// again works nothing out.
type answers struct {
	mu   sync.Mutex
	last map[answerKey]advice.Answer
}

// answerKey tells answers apart without holding on to the day they were worked out of.
type answerKey struct {
	at      schedule.Moment
	version int64
	record  int64
}

// mostAnswers is how many are kept: those of a few people who write at once.
const mostAnswers = 8

// to returns the answer to a record of a forecast's day.
func (a *answers) to(ctx context.Context, f *day.Forecast, id int64) (advice.Answer, error) {
	key := answerKey{f.Day.Moment(), f.Day.Version(), id}
	a.mu.Lock()
	answer, ok := a.last[key]
	a.mu.Unlock()
	if ok {
		return answer, nil
	}
	answer, err := advice.AnswerTo(ctx, f, id)
	if err != nil {
		return answer, err
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.last == nil || len(a.last) >= mostAnswers {
		a.last = map[answerKey]advice.Answer{}
	}
	a.last[key] = answer
	return answer, nil
}

// answerIn puts the answer to what was written down into its notice. Where the
// forecast is from before it, only what a water test means is said.
func (h *handler) answerIn(r *http.Request, f *day.Forecast, n *notice) error {
	if n == nil {
		return nil
	}
	answer, err := h.answers.to(r.Context(), f, n.Line.Record)
	if err == nil {
		n.Answer = &answer
		return nil
	}
	if !errors.Is(err, record.ErrUnknown) {
		return err
	}
	opened, err := h.open(r.Context())
	if err != nil {
		return err
	}
	if entry, ok := opened.Entry(n.Line.Record); ok {
		if test, ok := entry.Body.(record.WaterTest); ok {
			meaning, err := advice.MeaningOf(opened, test)
			if err != nil {
				return err
			}
			n.Answer = &advice.Answer{Record: entry.ID, Water: &meaning, Moved: nil}
		}
	}
	return nil
}

// answerJSON answers with what follows from a record, by the newest forecast.
func (h nowPages) answerJSON(w http.ResponseWriter, r *http.Request) {
	id, err := strconv.ParseInt(r.PathValue("record"), 10, 64)
	if err != nil {
		h.failJSON(w, r, &record.UnknownError{What: "record", Name: r.PathValue("record")})
		return
	}
	opened, err := h.open(r.Context())
	if err != nil {
		h.failJSON(w, r, err)
		return
	}
	f, err := opened.Forecast(r.Context())
	if err != nil {
		h.failJSON(w, r, err)
		return
	}
	answer, err := h.answers.to(r.Context(), f, id)
	if err != nil {
		h.failJSON(w, r, err)
		return
	}
	data, err := json.Marshal(answer)
	if err != nil {
		h.failJSON(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.Write(append(data, '\n'))
}
