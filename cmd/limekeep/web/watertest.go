package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/inference"
)

// waterPage is the form of a water test, as filled in.
type waterPage struct {
	Token    string
	Date     string
	Spots    []spotGroup // where a sample can be taken; none where there is no line
	Rows     []waterRow
	Celsius  string
	Note     string
	Problems problems
}

// spotGroup is a water line with the spots at which its water can be sampled.
type spotGroup struct {
	Line  string // for people
	Spots []choice
}

func (h *handler) newWaterTest(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	// A link may choose the line.
	filled := url.Values{"date": {opened.Today.String()}, "spot": {r.URL.Query().Get("line")}}
	p := h.waterPage(opened.Info(), filled, emptyRows())
	keepForm(w)
	h.show(w, r, http.StatusOK, "water", page{Title: "Write down a water test", Here: "/water/new", Place: opened.Info(), Body: p})
}

func (h *handler) waterPage(info day.PlaceInfo, filled url.Values, rows []waterRow) waterPage {
	return waterPage{
		Token: h.tokens.again(filled), Date: filled.Get("date"), Spots: spots(info.Lines, filled.Get("spot")), Rows: rows,
		Celsius: filled.Get("celsius"), Note: filled.Get("note"),
	}
}

// spots lists where a sample can be taken: each line's supply, and behind each
// stage of its treatment. The value is the line's id, or line/stage.
func spots(lines []day.LineInfo, selected string) []spotGroup {
	var groups []spotGroup
	for _, l := range lines {
		g := spotGroup{Line: l.Name}
		add := func(value, label string) {
			if len(lines) > 1 {
				// A closed list shows the option alone, not its group.
				label += ", " + l.Name
			}
			g.Spots = append(g.Spots, choice{Value: value, Label: label, Selected: value == selected})
		}
		add(l.Line, fmt.Sprintf("Before any treatment (%s)", l.Supply))
		for _, t := range l.Treatment {
			add(l.Line+"/"+t.ID, "Behind the "+stageName(t))
		}
		groups = append(groups, g)
	}
	return groups
}

// stageName names a stage by what it is, and by its id where that says more.
func stageName(t record.Treatment) string {
	if t.ID == string(t.Kind) {
		return t.ID
	}
	return string(t.Kind) + " (" + t.ID + ")"
}

func (h *handler) addWaterTest(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	rows, test, on, wrong := readWaterTest(filled)
	if len(wrong) == 0 {
		written, err := h.takeWaterTest(r.Context(), opened, tokenOf(filled), on, test)
		switch {
		case err == nil:
			seeOther(w, r, "/", written)
			return
		case !mistake(err) && !errors.Is(err, record.ErrUnknown):
			h.fail(w, r, err)
			return
		}
		blame(err, rows, wrong)
	}
	p := h.waterPage(opened.Info(), filled, rows)
	p.Problems = wrong
	keepForm(w)
	h.show(w, r, http.StatusUnprocessableEntity, "water", page{Title: "Please correct: water test", Here: "/water/new", Place: opened.Info(), Body: p})
}

func (h *handler) takeWaterTest(ctx context.Context, opened *day.Day, token string, on record.Date, t record.WaterTest) (int64, error) {
	return h.tokens.once(token, func() (int64, error) {
		written, err := h.Journal.AddWaterTest(ctx, opened, on, t)
		return written.Record, err
	})
}

// readWaterTest reads what was filled in, with what is wrong with each input
// alone.
func readWaterTest(filled url.Values) ([]waterRow, record.WaterTest, record.Date, problems) {
	wrong := problems{}
	on, err := dateIn(filled.Get("date"))
	wrong.add("date", err)
	var t record.WaterTest
	t.Line, t.After, _ = strings.Cut(filled.Get("spot"), "/")
	t.Note = noteIn(filled.Get("note"))
	rows, values := readRows(filled, wrong)
	t.Test.Values = values
	t.Test.Celsius, err = numberIn("celsius", filled.Get("celsius"))
	wrong.add("celsius", err)
	if err == nil && len(values) > 0 {
		// With one good value alone, only the temperature can be at fault.
		wrong.add("celsius", water.Test{Values: values[:1], Celsius: t.Test.Celsius}.Validate())
	}
	return rows, t, on, wrong
}

// blame puts an error of the desk beside the inputs it is about.
func blame(err error, rows []waterRow, wrong problems) {
	var unknown *record.UnknownError
	var contradiction *inference.ContradictionError
	switch {
	case errors.As(err, &unknown), inputOf(err, "water line", "line") != "":
		wrong.add("spot", err)
	case errors.As(err, &contradiction):
		wrong.add("", err)
		for _, s := range contradiction.Suspects {
			for _, row := range rows {
				if row.Quantity == s.Quantity {
					wrong.add(row.Name("value"), fmt.Errorf("%s does not fit the other values; measure it again", s.Quantity))
				}
			}
		}
	default:
		wrong.add(inputOf(err, "date", "note"), err)
	}
}
