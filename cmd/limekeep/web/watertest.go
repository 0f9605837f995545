package web

import (
	"errors"
	"net/http"
	"strings"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/inference"
)

// waterPages take water tests.
type waterPages struct {
	*handler
	memory *waterMemory
}

func (h waterPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /water", h.kept(h.water, nil))
	mux.HandleFunc("GET /water/compare", h.compare)
	mux.HandleFunc("GET /water/new", h.newWaterTest)
	mux.HandleFunc("POST /water", h.addWaterTest)
}

// waterPage is the form of a water test.
type waterPage struct {
	Form   form.Form
	NoLine bool // there is no water to test
}

// SheetOpen reports whether the values of a laboratory's sheet are to be seen at
// once: there is something in them.
func (p waterPage) SheetOpen() bool {
	for _, f := range p.Form.Fields {
		for _, input := range f.Row {
			if f.Folded && (input.Problem != "" || input.Column == "value" && input.Value != "") {
				return true
			}
		}
	}
	return false
}

func (h waterPages) newWaterTest(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s := h.waterForm(opened)
	s.Find("spot").Value = r.URL.Query().Get("line") // a link may choose the line
	h.showWaterForm(w, r, http.StatusOK, wording.WriteDownAWaterTest, opened, s)
}

func (h waterPages) showWaterForm(w http.ResponseWriter, r *http.Request, status int, title string, opened *day.Day, s form.Form) {
	info := opened.Info()
	h.showForm(w, r, status, "water", page{Title: title, Here: "/water", Place: info, Body: waterPage{Form: s, NoLine: len(info.Lines) == 0}})
}

func (h waterPages) waterForm(opened *day.Day) form.Form {
	s := form.Form{Action: "/water", Token: h.tokens.Draw(), Button: wording.WriteItDown, Fields: waterFields(opened.Info().Lines, opened.Today)}
	if unit := opened.Place.HardnessUnit; unit != "" {
		for _, row := range []measuredRow{1, 2} { // hardness and alkalinity
			s.Find(row.input("unit")).Value = string(unit)
		}
	}
	s.TellFor(opened.Place)
	// Whoever tests again has the same kit, mostly.
	for _, line := range opened.Info().Lines {
		for _, t := range opened.Book.WaterTests(line.Line) {
			for _, row := range measuredRows() {
				if v := t.Body.Test.Value(row.named()); !row.free() && v.Quantity != "" {
					s.Find(row.input("unit")).Value, s.Find(row.input("method")).Value = string(v.Unit), string(v.Method)
				}
			}
		}
	}
	return s
}

func waterFields(lines []day.LineInfo, today record.Date) []form.Field {
	fields := []form.Field{
		{Name: "date", Label: wording.DayOfTheSample, Kind: form.DateInput, Value: today.String(), Asked: true, About: []string{"date"}},
		{Name: "spot", Label: wording.WhereTheSampleWasTaken, Kind: form.ChoiceInput, Groups: spots(lines), About: []string{wording.AWaterLinePart, "line", "treatment"}},
	}
	for _, row := range measuredRows() {
		fields = append(fields, row.field())
	}
	return append(fields,
		form.Field{Name: "celsius", Label: wording.TemperatureAtPH, Hint: wording.FifteenIsTakenWhereLeftOpen, Kind: form.NumberInput, Measure: form.Celsius},
		form.NoteField("note"),
	)
}

// spots lists where a sample can be taken: each line's supply, and behind each
// stage of its treatment. The value is the line's id, or line/stage.
func spots(lines []day.LineInfo) []form.ChoiceGroup {
	var groups []form.ChoiceGroup
	for _, l := range lines {
		g := form.ChoiceGroup{Label: l.Name}
		add := func(value, label string) {
			if len(lines) > 1 {
				// A closed list shows the option alone, not its group.
				label += ", " + l.Name
			}
			g.Choices = append(g.Choices, form.Choice{Value: value, Label: label})
		}
		add(l.Line, wording.BeforeAnyTreatment(string(l.Supply)))
		for _, t := range l.Treatment {
			add(l.Line+"/"+t.ID, wording.BehindStageFirst(stageName(t)))
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

func (h waterPages) addWaterTest(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	s := h.waterForm(opened)
	s.Fill(filled)
	test, on := readWaterTest(&s)
	taken, err := h.takeOnce(w, r, &s, filled, func() (int64, error) {
		written, err := h.journalOf(r.Context()).AddWaterTest(r.Context(), opened, on, test)
		return written.Record, blameWater(&s, err)
	}, "/")
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !taken:
		h.showWaterForm(w, r, http.StatusUnprocessableEntity, wording.PleaseCorrectWaterTest, opened, s)
	}
}

// readWaterTest reads what was filled in, with what is wrong with each input
// alone.
func readWaterTest(s *form.Form) (record.WaterTest, record.Date) {
	on := s.Date("date")
	t := record.WaterTest{Note: s.Text("note")}
	t.Line, t.After, _ = strings.Cut(s.Text("spot"), "/")
	t.Test.Values = readMeasured(s)
	t.Test.Celsius = s.Number("celsius")
	if len(t.Test.Values) > 0 {
		// With one good value alone, only the temperature can be at fault.
		s.Wrong("celsius", water.Test{Values: t.Test.Values[:1], Celsius: t.Test.Celsius}.Validate())
	}
	return t, on
}

// blameWater says beside the inputs concerned which of the values do not go
// together, and returns the error.
func blameWater(s *form.Form, err error) error {
	var contradiction *inference.ContradictionError
	if !errors.As(err, &contradiction) {
		return err
	}
	for _, suspect := range contradiction.Suspects {
		for _, row := range measuredRows() {
			if row.quantity(s) == suspect.Quantity {
				s.Wrong(row.input("value"), errors.New(wording.DoesNotFit(string(suspect.Quantity))))
			}
		}
	}
	return err
}
