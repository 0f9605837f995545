package web

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"net/url"

	"limekeep/cmd/limekeep/intake/shotlog"
	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/water/figure"
)

// importPages take a shot log: a file is brought, shown as it is understood with what it
// leaves open, and written down once that is right.
type importPages struct {
	*handler
	files *keptUploads
}

const importPath = usePath + "/import"

// mostLogBytes is how long a shot log can be that is brought on a page: a busy bar's of
// ten years.
const mostLogBytes = 16 << 20

func (h importPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+importPath, h.ask)
	mux.HandleFunc("POST "+importPath, h.bring)
	mux.HandleFunc("GET "+importPath+"/{id}", h.look)
	mux.HandleFunc("POST "+importPath+"/{id}", h.take)
}

// importPage is the beginning: which file.
type importPage struct {
	Says     string
	Problems form.Problems
	Form     form.Form
}

func (h importPages) fileForm() form.Form {
	return form.Form{Action: importPath, Token: h.tokens.Draw(), Button: wording.LookAtIt, File: true, Fields: []form.Field{
		{Name: "log", Label: wording.TheLog, Hint: wording.LogFileHint, Kind: form.FileInput, Required: true},
	}}
}

func (h importPages) ask(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p := importPage{Form: h.fileForm()}
	switch {
	case r.URL.Query().Has("known"):
		p.Says = wording.AllRowsWereKnown
	case r.URL.Query().Has("gone"):
		p.Says = wording.FileNoLongerAtHand
	}
	h.showForm(w, r, http.StatusOK, "useimport", page{Title: wording.ImportAShotLog, Here: usePath, Place: opened.Info(), Body: p})
}

// bring keeps a file to be looked at.
func (h importPages) bring(w http.ResponseWriter, r *http.Request) {
	_, file, opened, ok := h.broughtFile(w, r, mostLogBytes)
	if !ok {
		return
	}
	p := importPage{Form: h.fileForm()}
	err := form.ErrNoFile
	if file.Name != "" {
		_, err = shotlog.ColumnNames(bytes.NewReader(file.Data))
	}
	if err != nil {
		p.Form.Wrong("log", err)
		p.Problems = p.Form.Problems()
		h.showForm(w, r, http.StatusUnprocessableEntity, "useimport", page{Title: wording.PleaseCorrectAShotLog, Here: usePath, Place: opened.Info(), Body: p})
		return
	}
	http.Redirect(w, r, importPath+"/"+h.files.keep(file), http.StatusSeeOther)
}

// lookPage shows how a file is understood.
type lookPage struct {
	Name      string
	Refused   string // why it cannot be taken as it is told; empty where it can
	Columns   []shotlog.Understood
	Dates     string // how dates in numbers are read; empty where nothing was open
	Rows      int
	Import    journal.UseImport
	Sample    []record.UseRow
	Replaces  bool
	Changes   []changedRow
	MoreOf    int // changed rows beyond those shown
	Notes     []string
	Questions []string
	Problems  form.Problems
	Tell      form.Form  // what it leaves open
	Take      *form.Form // nil where something must be said first
}

// unfold shows what the columns are at once: that is likely what is wrong.
func (p *lookPage) unfold() {
	for i := range p.Tell.Fields {
		p.Tell.Fields[i].Folded = false
	}
}

// As says what a column was taken for.
func (lookPage) As(u shotlog.Understood) string { return shotlog.Called(u.As) }

// Figure writes a figure of a row; nothing for 0, where nothing was said.
func (lookPage) Figure(x float64) string {
	if x == 0 {
		return ""
	}
	return figure.AtMost(x, 2)
}

// changedRow is a row that is known and says something else now.
type changedRow struct {
	On   record.Date
	At   string // time of day, empty for none
	Says []string
}

// clockOf writes the minute of a day; empty for a row of a whole day.
func clockOf(minute int) string {
	if minute < 0 {
		return ""
	}
	return fmt.Sprintf("%02d:%02d", minute/60, minute%60)
}

// Clock writes when a row was.
func (lookPage) Clock(row record.UseRow) string { return clockOf(row.Minute) }

// What a column is chosen to be, beside our columns.
const (
	asNamed    = ""
	notCounted = "-"
)

// mostColumns is how many columns a form asks about.
const mostColumns = 60

func (h importPages) tellForm(id string, opened *day.Day, names []string) form.Form {
	s := form.Form{Action: importPath + "/" + id, Asks: true, Button: wording.LookAgain, Quiet: true}
	s.Fields = equipmentField("machine", wording.Machine, "", opened.UseSpots().Machines, "", "machine")
	columns := form.Field{Label: wording.WhatItsColumnsAre, Kind: form.SectionInput, Folded: true}
	ours, words := shotlog.Choices()
	for i, name := range names[:min(len(names), mostColumns)] {
		label := wording.Column(i + 1)
		if name != "" {
			label += ": " + name
		}
		f := form.Field{Name: columnInput(i), Label: label, Kind: form.ChoiceInput, Choices: []form.Choice{{Value: asNamed, Label: wording.AsItsNameSays}, {Value: notCounted, Label: wording.PassedOver}}}
		for k := range ours {
			f.Choices = append(f.Choices, form.Choice{Value: ours[k], Label: words[k]})
		}
		columns.Row = append(columns.Row, f)
	}
	columns.Row = append(columns.Row, form.Field{Name: "unknown", Label: wording.PassOverUnknownColumns, Kind: form.BoxInput})
	s.Fields = append(s.Fields, columns,
		form.Field{Name: "dates", Label: wording.OrderOfDates, Kind: form.ChoiceInput, Choices: []form.Choice{
			{Label: wording.AsTheFileTells}, {Value: "day-first", Label: wording.TheDayFirst}, {Value: "month-first", Label: wording.TheMonthFirst}, {Value: "year-first", Label: wording.TheYearFirst},
			{Value: "serial-1900", Label: wording.ASpreadsheetsNumbersFrom1900}, {Value: "serial-1904", Label: wording.ASpreadsheetsNumbersFrom1904},
		}},
		form.Field{Name: "decimal", Label: wording.WhatPartsDecimals, Kind: form.ChoiceInput, Choices: []form.Choice{{Label: wording.AsTheFileTells}, {Value: "point", Label: wording.APoint}, {Value: "comma", Label: wording.AComma}}},
		form.Field{Name: "doses", Label: wording.DoseAndYieldOfSeveralShots, Kind: form.ChoiceInput, Choices: []form.Choice{{Label: wording.NotToldYet}, {Value: "each", Label: wording.OfEachShot}, {Value: "together", Label: wording.OfAllTogether}}},
		form.Field{Name: "habit-dose", Label: wording.TakeTheHabitsDose, Kind: form.BoxInput},
		form.Field{Name: "as-written", Label: wording.TakeWhatIsUnusualAsItStands, Kind: form.BoxInput},
		form.Field{Name: "replace", Label: wording.ReplaceRows, Kind: form.BoxInput},
	)
	return s
}

func columnInput(i int) string { return fmt.Sprintf("column-%d", i) }

// optionsOf reads how a log is to be understood.
func optionsOf(s *form.Form, opened *day.Day, machine record.Equipment, names []string) shotlog.Options {
	o := shotlog.Options{
		Mapped: map[string]string{}, Machine: machine.Machine, Zone: opened.Zone, Today: opened.Today, Ways: shotlog.ByForm{},
		HabitDose: s.Ticked("habit-dose"), AsWritten: s.Ticked("as-written"),
	}
	for i, name := range names {
		switch is := s.Text(columnInput(i)); is {
		case asNamed:
		case notCounted:
			o.Ignore = append(o.Ignore, name)
		default:
			o.Mapped[is] = name
		}
	}
	if s.Ticked("unknown") {
		o.Ignore = append(o.Ignore, "*")
	}
	o.Order, _ = shotlog.ParseDayOrder(s.Text("dates"))
	o.Mark = map[string]figure.Mark{"point": figure.Point, "comma": figure.Comma}[s.Text("decimal")]
	o.Doses = map[string]shotlog.Doses{"each": shotlog.EachShot, "together": shotlog.AllTogether}[s.Text("doses")]
	return o
}

// look shows how a file is understood, and writes nothing.
func (h importPages) look(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	id := r.PathValue("id")
	file, ok := h.files.find(id)
	if !ok {
		http.Redirect(w, r, importPath+"?gone", http.StatusSeeOther)
		return
	}
	p, _, err := h.lookAt(r, opened, id, file, r.URL.Query(), true)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusOK, "useimportlook", page{Title: wording.HowTheLogIsUnderstood, Here: usePath, Place: opened.Info(), Body: p})
}

// lookAt reads a file as it is told to; as a preview, or else to write it down. What is
// wrong with the file is on the page.
func (h importPages) lookAt(r *http.Request, opened *day.Day, id string, file form.Upload, told url.Values, preview bool) (p lookPage, written journal.UseImport, err error) {
	names, err := shotlog.ColumnNames(bytes.NewReader(file.Data))
	if err != nil {
		return p, written, err
	}
	p = lookPage{Name: file.Name, Tell: h.tellForm(id, opened, names), Replaces: told.Get("replace") == "yes"}
	p.Tell.Fill(told)
	if f := p.Tell.Find("machine"); f != nil && f.Value == "" {
		f.Value = f.Choices[0].Value
	}
	machine, err := opened.UseMachine(p.Tell.Text("machine"))
	if err != nil {
		return p, written, err
	}
	options := optionsOf(&p.Tell, opened, machine, names)
	options.Preview = preview
	log, wrong := shotlog.Open(bytes.NewReader(file.Data), options)
	if wrong != nil {
		p.Refused = wrong.Error()
		p.unfold()
		return p, written, nil //nolint:nilerr // the page says so
	}
	about := log.About()
	about.Machine, about.Name, about.Preview, about.Replace = machine.ID, file.Name, preview, p.Replaces
	if written, wrong = h.journalOf(r.Context()).ImportUse(r.Context(), opened, about, log.Rows(func(int64) {})); wrong != nil {
		wrong = log.Locate(shotlog.FarApart(wrong))
	}
	var open *shotlog.QuestionsError
	var row *schedule.RowError
	switch {
	case wrong == nil:
	case errors.As(wrong, &open), errors.As(wrong, &row), blamable(wrong):
		p.Refused = wrong.Error()
		return p, written, nil
	default:
		return p, written, wrong
	}
	p.Columns, p.Import, p.Sample, p.Notes = log.Understood(), written, written.First, log.Notes()
	if order := log.Order(); order == shotlog.DayFirst || order == shotlog.MonthFirst {
		p.Dates = order.String()
	}
	if p.Rows = written.Added + written.Known; p.Replaces {
		p.Rows -= written.Changed // which count as added and as known
	}
	if written.Changes != nil {
		for _, c := range written.Changes.Rows {
			p.Changes = append(p.Changes, changedRow{c.Given.Date, clockOf(c.Given.Minute), say.UseDifferences(c)})
		}
	}
	p.MoreOf = written.Changed - len(p.Changes)
	for _, q := range log.Questions() {
		p.Questions = append(p.Questions, q.String())
	}
	if len(p.Questions) == 0 {
		p.Take = &form.Form{Action: importPath + "/" + id, Token: h.tokens.Draw(), Button: wording.WriteItDown}
		for f := range p.Tell.Inputs() {
			if f.Value != "" {
				p.Take.Fields = append(p.Take.Fields, form.Field{Name: f.Name, Kind: form.FixedInput, Value: f.Value})
			}
		}
	}
	return p, written, nil
}

// take writes a file down as it was shown, once.
func (h importPages) take(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	id := r.PathValue("id")
	file, ok := h.files.find(id)
	if !ok {
		http.Redirect(w, r, importPath+"?gone", http.StatusSeeOther)
		return
	}
	var p lookPage
	written, err := h.tokens.Once(r, form.TokenOf(filled), func() (int64, error) {
		var became journal.UseImport
		var err error
		if p, became, err = h.lookAt(r, opened, id, file, filled, false); err == nil && p.Refused != "" {
			err = errRefused
		}
		return became.ID, err
	})
	switch {
	case errors.Is(err, errRefused):
		h.showForm(w, r, http.StatusUnprocessableEntity, "useimportlook", page{Title: wording.PleaseCorrectAShotLog, Here: usePath, Place: opened.Info(), Body: p})
	case err != nil:
		h.fail(w, r, err)
	case written == 0:
		http.Redirect(w, r, importPath+"?known", http.StatusSeeOther)
	default:
		seeOther(w, r, usePath, written, "machine", filled.Get("machine"))
	}
}

// errRefused says that a file was not taken, for what the page says.
var errRefused = errors.New("the file was not taken")
