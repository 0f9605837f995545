package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"

	"limekeep/cmd/limekeep/web/picture"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/say"
	"limekeep/schedule/score"
	"limekeep/water/figure"
)

// scorePath is the address of the page that says how forecasts fared.
const scorePath = "/score"

// scorePages show how the forecasts fared.
type scorePages struct{ *handler }

func (h scorePages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+scorePath, h.kept(h.score, nil))
	mux.HandleFunc("GET "+scorePath+".json", h.share)
}

// scorePage is how the forecasts of the place fared.
type scorePage struct {
	Since       string
	Says        []string // of all together
	Classes     *picture.Picture
	Tallies     []scoreRow
	Reliability []reliabilityRow
	Cases       []score.Case // the newest first
	ModelError  string
	Shared      bool // there is something in it that others could learn from
}

// scoreRow is a line of the table of kinds and tasks.
type scoreRow struct {
	Of, Found, Sooner, Inside, Later, Windows, Ours, Fixed string
}

// reliabilityRow is a line of the table of chances given.
type reliabilityRow struct{ Given, Times, Came string }

// SaysCase says what was foreseen of a finding and what came.
func (scorePage) SaysCase(c score.Case) string { return say.ScoreCase(c) }

func (h scorePages) score(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := newScorePage(opened.Score())
	if f, err := h.foreseeOn(r.Context(), opened); err == nil {
		shared := f.Share()
		p.Shared = len(shared.Cases)+len(shared.Evidence) > 0
	}
	h.show(w, r, http.StatusOK, "score", page{Title: wording.HowTheForecastsFared, Here: scorePath, Place: opened.Info(), Body: p})
}

// share gives the score without names, for others to learn from.
func (h scorePages) share(w http.ResponseWriter, r *http.Request) {
	f, err := h.foresee(r.Context())
	if err != nil {
		h.failJSON(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	encoder := json.NewEncoder(w)
	encoder.SetIndent("", " ")
	_ = encoder.Encode(f.Share()) // whoever asked is gone
}

func newScorePage(s score.Score) scorePage {
	p := scorePage{Since: say.ScoreSince(s), ModelError: say.ModelError(s.ModelError)}
	if len(s.Cases) == 0 {
		return p
	}
	all := s.Tallies[0]
	classes := classesPicture(all)
	p.Says, p.Classes = say.Tally(all), &classes
	for _, t := range s.Tallies {
		row := scoreRow{
			Of: capital(say.ScoreOf(t.Of)), Found: fmt.Sprint(t.Cases), Sooner: figure.Fixed(t.Sooner, 1), Inside: figure.Fixed(t.Inside, 1), Later: figure.Fixed(t.Later, 1),
			Windows: say.TallyVerdict(t), Ours: "–", Fixed: "–",
		}
		if t.Maker != nil {
			row.Ours, row.Fixed = figure.Fixed(*t.Ours, 2), figure.Fixed(*t.Maker, 2)
		}
		p.Tallies = append(p.Tallies, row)
	}
	for _, r := range s.Reliability {
		if r.Events > 0 {
			p.Reliability = append(p.Reliability, reliabilityRow{
				Given: wording.ToOf(figure.Percent(r.From), figure.Percent(r.To)), Times: fmt.Sprint(r.Events),
				Came: fmt.Sprintf("%d (%s)", r.Came, figure.Percent(float64(r.Came)/float64(r.Events))),
			})
		}
	}
	p.Cases = slices.Clone(s.Cases)
	slices.Reverse(p.Cases)
	return p
}

// classesPicture draws where in its forecast each finding lay.
func classesPicture(t score.Tally) picture.Picture {
	h := picture.Histogram{
		ID: "score-classes", Title: wording.WhereFindingsLay, Of: wording.Findings,
		Desc: wording.WhereFindingsLayMeans,
	}
	h.Low, h.High = t.ClassBand()
	for i, name := range []string{wording.LeastWorn, wording.LessWorn, wording.AsWorn, wording.MoreWorn, wording.MostWorn} {
		h.Classes = append(h.Classes, picture.Class{Name: name, Count: t.Classes[i], Expected: float64(t.Cases) / float64(len(t.Classes))})
	}
	return h.Draw(writing)
}
