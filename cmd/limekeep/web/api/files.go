package api

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/cmd/limekeep/intake/busycal"
	"limekeep/cmd/limekeep/intake/shotlog"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// Addresses that take whole files, and what a request to them may weigh, in bytes.
const (
	UseFiles         = Prefix + "/use-files"
	OwnCalendars     = Prefix + "/own-calendar"
	MostUseFile      = 20 << 20
	MostCalendarFile = busycal.MostBytes + 4<<20 // with what JSON adds to it
)

// UseFileGiven is a shot log with what it leaves open.
type UseFileGiven struct {
	CSV       string            `json:"csv" doc:"The file, header and rows"`
	Name      string            `json:"name,omitempty" doc:"Of the file; it stands in the history"`
	Machine   string            `json:"machine,omitempty" doc:"May be left out where the place has just one"`
	Columns   map[string]string `json:"columns,omitempty" doc:"Names of columns in the file, by ours, such as hot_water_ml"`
	Ignore    []string          `json:"ignore,omitempty" doc:"Columns of the file to pass over; a star for all that are not known"`
	Dates     string            `json:"dates,omitempty" enum:"day-first,month-first,year-first,serial-1900,serial-1904" doc:"As the file tells where left out"`
	Decimal   string            `json:"decimal,omitempty" enum:"point,comma" doc:"As the file tells where left out"`
	Doses     string            `json:"doses,omitempty" enum:"each,together" doc:"What dose and yield are of in a row of several shots"`
	HabitDose bool              `json:"habit_dose,omitempty" doc:"Where no dose stands, take the habit's"`
	AsWritten bool              `json:"as_written,omitempty" doc:"Take what is unusual as it stands"`
	Replace   bool              `json:"replace,omitempty" doc:"Rows that say something else than before take the place of those"`
	Preview   bool              `json:"preview,omitempty" doc:"Read and check it, and write nothing down"`
}

// UseFileAnswer is what became of a shot log, or would have.
type UseFileAnswer struct {
	journal.UseImport
	Columns   []shotlog.Understood `json:"columns" doc:"What each column was taken for"`
	Notes     []string             `json:"notes"`
	Questions []string             `json:"questions" doc:"What must be said before it is written down"`
}

// OwnCalendarGiven is a calendar of the owner's own: a file, or an address that it is
// fetched from.
type OwnCalendarGiven struct {
	Calendar string `json:"calendar,omitempty" doc:"A calendar file (iCalendar), as text"`
	Name     string `json:"name,omitempty" doc:"Of the file"`
	Address  string `json:"address,omitempty" doc:"An address by https, in place of a file"`
	Remove   bool   `json:"remove,omitempty" doc:"Take the calendar away"`
}

// OwnCalendarAnswer is what is known of it.
type OwnCalendarAnswer struct {
	Name    string `json:"name" doc:"Of a file that was brought; empty where there is none"`
	Fetched bool   `json:"fetched" doc:"Whether it is fetched from an address, which is not told"`
	Problem string `json:"problem" doc:"Why it could not be fetched when it was tried last"`
	Plan    string `json:"plan" doc:"Why the plan takes no notice of it; empty where it does, or there is none"`
}

// files takes shot logs and calendars.
func (s *Server) files(api huma.API) {
	change(s, api, "import-use", "/use-files", "Write a shot log down, all of it or nothing; or, as a preview, say how it is understood", s.importUse, MostUseFile)
	if s.OwnCalendar == nil {
		return
	}
	ask(s, api, "own-calendar", "/own-calendar", "The owner's own calendar, on whose busy times nothing is planned", func(ctx context.Context, f *day.Forecast, _ *nothing) (OwnCalendarAnswer, error) {
		return s.ownCalendar(ctx, f.Day, f.OwnCalendar())
	})
	change(s, api, "set-own-calendar", "/own-calendar", "Bring the owner's own calendar, name an address it is fetched from, or take it away", func(ctx context.Context, d *day.Day, in OwnCalendarGiven) (OwnCalendarAnswer, error) {
		var err error
		switch {
		case in.Remove:
			err = s.OwnCalendar.Remove(ctx, d.Place.ID)
		case in.Address != "" && in.Calendar != "":
			err = &record.FieldError{Field: "address", Value: "beside a calendar", Want: "either a calendar or an address"}
		case in.Address != "":
			err = s.OwnCalendar.Name(ctx, d.Place.ID, in.Address)
		default:
			name := in.Name
			if name == "" {
				name = "calendar.ics"
			}
			err = s.OwnCalendar.Bring(ctx, d.Place.ID, name, []byte(in.Calendar), d.Planned(), d.Zone)
		}
		if err != nil {
			return OwnCalendarAnswer{}, err
		}
		s.CalendarChanged(d.Place.ID)
		return s.ownCalendar(ctx, d, "")
	}, MostCalendarFile)
}

func (s *Server) ownCalendar(ctx context.Context, d *day.Day, plan string) (OwnCalendarAnswer, error) {
	c, err := s.OwnCalendar.Store.OwnCalendar(ctx, d.Place.ID)
	return OwnCalendarAnswer{Name: c.Name, Fetched: c.Address != "", Problem: c.Wrong, Plan: plan}, err
}

// importUse reads a shot log and writes it down.
func (s *Server) importUse(ctx context.Context, d *day.Day, in UseFileGiven) (UseFileAnswer, error) {
	machine, err := d.UseMachine(in.Machine)
	if err != nil {
		return UseFileAnswer{}, err
	}
	options := shotlog.Options{
		Mapped: in.Columns, Ignore: in.Ignore, HabitDose: in.HabitDose, AsWritten: in.AsWritten, Preview: in.Preview, Machine: machine.Machine, Zone: d.Zone, Today: d.Today, Ways: shotlog.ByMembers{},
		Mark:  map[string]figure.Mark{"point": figure.Point, "comma": figure.Comma}[in.Decimal],
		Doses: map[string]shotlog.Doses{"each": shotlog.EachShot, "together": shotlog.AllTogether}[in.Doses],
	}
	options.Order, _ = shotlog.ParseDayOrder(in.Dates)
	log, err := shotlog.Open(strings.NewReader(in.CSV), options)
	if err != nil {
		return UseFileAnswer{}, asField(err)
	}
	about := log.About()
	about.Machine, about.Name, about.Preview, about.Replace = machine.ID, in.Name, in.Preview, in.Replace
	outcome, err := s.Journal.ImportUse(ctx, d, about, log.Rows(func(int64) {}))
	if err != nil {
		return UseFileAnswer{}, asField(log.Locate(shotlog.FarApart(err)))
	}
	a := UseFileAnswer{UseImport: outcome, Columns: log.Understood(), Notes: nonNil(log.Notes()), Questions: []string{}}
	for _, q := range log.Questions() {
		a.Questions = append(a.Questions, q.String())
	}
	return a, nil
}

// asField makes what a log leaves open, or what is no log at all, a mistake of the member
// that holds it. What is wrong in a row says so itself.
func asField(err error) error {
	var open *shotlog.QuestionsError
	if errors.As(err, &open) {
		var first []string
		for _, q := range open.Questions {
			first = append(first, q.String())
		}
		return &record.FieldError{Field: "csv", Value: "as it stands", Want: "what it leaves open: " + strings.Join(first, "; ")}
	}
	if _, ok := record.MistakesOf(err); ok || err == nil {
		return err
	}
	return &record.FieldError{Field: "csv", Value: "as it stands", Want: "a CSV file with a header; this is " + err.Error()}
}

// MostBodyBytes returns what a request may weigh that brings a file; 0 for one that
// brings none.
func MostBodyBytes(r *http.Request) int64 {
	switch {
	case r.Method != http.MethodPost:
	case strings.HasSuffix(r.URL.Path, UseFiles):
		return MostUseFile
	case strings.HasSuffix(r.URL.Path, FleetSetUps):
		return MostFleetTable
	case strings.HasSuffix(r.URL.Path, OwnCalendars):
		return MostCalendarFile
	}
	return 0
}
