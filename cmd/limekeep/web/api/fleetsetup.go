package api

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"limekeep/cmd/limekeep/intake/fleetfile"
	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// FleetSetUp sets many places up from one table, for programs, pages and commands.
type FleetSetUp struct {
	Days    *day.Opener
	Journal *journal.Journal
}

// FleetGiven is a table of places.
type FleetGiven struct {
	CSV      string `json:"csv" doc:"A row a place, a first line of headings; a field of a place file is named by its way through it, such as machine.habit.dose_grams"`
	Template string `json:"template,omitempty" doc:"A place file as YAML: what the columns do not say of new places"`
	Like     string `json:"like,omitempty" doc:"In place of a template the id of a place that new ones are like, but for its name, its address, serial numbers and days"`
	Whole    bool   `json:"whole_template,omitempty" doc:"Places that are there already become as the template says as well; else their columns alone change"`
	DryRun   bool   `json:"dry_run,omitempty" doc:"Only tell what would change"`
}

// FleetAnswer is what became of a table, or would.
type FleetAnswer struct {
	Added   int        `json:"added"`
	Changed int        `json:"changed"`
	Same    int        `json:"same"`
	DryRun  bool       `json:"dry_run"`
	Places  []FleetRow `json:"places" doc:"In the order of the table"`
	Others  []string   `json:"not_in_the_table" doc:"Places that are there and that the table does not name; they stay as they are"`
}

// FleetRow is what became of a place.
type FleetRow struct {
	Line   int           `json:"line"`
	Place  string        `json:"place"`
	Name   string        `json:"name"`
	Became string        `json:"became" enum:"added,changed,the same"`
	Fields []FleetChange `json:"fields" doc:"Columns that say something else than before, of a place that was there"`

	Changed journal.Changed `json:"changed"`
}

// FleetChange is a column that says something else than what stood there.
type FleetChange struct {
	Column string `json:"column"`
	From   string `json:"from"`
	To     string `json:"to"`
}

// What a place became.
const (
	becameAdded   = "added"
	becameChanged = "changed"
	becameSame    = "the same"
)

// Apply makes the records say what a table says: all of it or, where anything is wrong
// with it, nothing. today is that of each place where zero.
func (f *FleetSetUp) Apply(ctx context.Context, today record.Date, in FleetGiven) (FleetAnswer, error) {
	file, wrong := fleetfile.Read(strings.NewReader(in.CSV))
	if _, ok := record.MistakesOf(wrong); wrong != nil && (!ok || len(file.Rows) == 0) {
		return FleetAnswer{}, wrong
	}
	var template *placefile.Template
	var err error
	if in.Template != "" {
		if template, err = placefile.ReadTemplate(strings.NewReader(in.Template)); err != nil {
			return FleetAnswer{}, &record.FieldError{Field: "template", Value: in.Template, Want: "a place file as the README shows it; this is " + err.Error()}
		}
	}
	if in.Like != "" {
		if template != nil {
			return FleetAnswer{}, &record.FieldError{Field: "like", Value: in.Like, Want: "either a template or a place that new ones are like"}
		}
		if template, err = f.like(ctx, today, in.Like); err != nil {
			return FleetAnswer{}, err
		}
	}
	places, err := f.Days.Records.Places(ctx)
	if err != nil {
		return FleetAnswer{}, err
	}
	there := map[string]bool{}
	for _, id := range places {
		there[id] = true
	}
	whole := in.Whole && template != nil
	setups, err := file.SetUps(func(place string) (*placefile.Template, string, error) {
		if !there[place] || whole {
			return template, "the template", nil
		}
		d, err := f.Days.Open(ctx, schedule.Moment{Place: place, Today: today})
		if err != nil {
			return nil, "", err
		}
		base, err := placefile.TemplateOf(journal.SetupOf(d))
		return base, "as it stands", err
	}, func(s schedule.Setup) error { return journal.CheckSetUp(f.Days.Catalogue, f.todayAt(s, today), s) })
	if err = inOrder(record.AllOf(wrong, err)); err != nil {
		return FleetAnswer{}, err
	}
	all := make([]schedule.Setup, len(setups))
	for i, s := range setups {
		all[i] = s.Setup
	}
	changed, err := f.Journal.SetUpAll(ctx, today, all, in.DryRun)
	if err != nil {
		return FleetAnswer{}, err
	}
	answer := FleetAnswer{DryRun: in.DryRun, Places: []FleetRow{}, Others: []string{}}
	for i, s := range setups {
		answer.add(rowOf(s, there[s.Row.Place], whole, changed[i]))
	}
	for _, id := range places {
		if !slices.ContainsFunc(file.Rows, func(r fleetfile.Row) bool { return r.Place == id }) {
			answer.Others = append(answer.Others, id)
		}
	}
	return answer, nil
}

// like makes a template of a place: what others have as well, and nothing that is its alone.
func (f *FleetSetUp) like(ctx context.Context, today record.Date, place string) (*placefile.Template, error) {
	d, err := f.Days.Open(ctx, schedule.Moment{Place: place, Today: today})
	if err != nil {
		return nil, err
	}
	s := journal.SetupOf(d)
	s.Place.ID, s.Place.Name, s.Place.Address = "", "", ""
	for i := range s.Equipment {
		e := &s.Equipment[i]
		e.Serial, e.Bought, e.LookedAfter, e.Made, e.RecordsFrom, e.Past = "", 0, 0, 0, 0, nil
		if e.Line != nil {
			line := *e.Line
			line.Treatment = slices.Clone(line.Treatment)
			for k := range line.Treatment {
				line.Treatment[k].Fitted, line.Treatment[k].Before = 0, ""
			}
			e.Line = &line
		}
	}
	return placefile.TemplateOf(s)
}

// inOrder puts mistakes into the order of their lines.
func inOrder(err error) error {
	all, ok := record.MistakesOf(err)
	if !ok {
		return err
	}
	slices.SortStableFunc(all, func(a, b *record.FieldError) int { return cmp.Compare(a.Line, b.Line) })
	return err
}

// todayAt returns the day at a place.
func (f *FleetSetUp) todayAt(s schedule.Setup, today record.Date) record.Date {
	if !today.IsZero() {
		return today
	}
	zone, err := s.Place.Location()
	if err != nil {
		zone = time.UTC // the zone is told as wrong by itself
	}
	return record.DateOf(f.Days.Now().In(zone))
}

// add counts a place and lists it.
func (a *FleetAnswer) add(row FleetRow) {
	switch row.Became {
	case becameAdded:
		a.Added++
	case becameChanged:
		a.Changed++
	default:
		a.Same++
	}
	a.Places = append(a.Places, row)
}

// rowOf tells what became of a place. Where the whole template was put in its place, what
// stood in a column before is not known.
func rowOf(s fleetfile.SetUp, there, whole bool, changed journal.Changed) FleetRow {
	row := FleetRow{Line: s.Row.Line, Place: s.Row.Place, Name: s.Setup.Place.Name, Fields: []FleetChange{}, Changed: changed, Became: becameSame}
	switch {
	case !there:
		row.Became = becameAdded
	case !changed.Nothing():
		row.Became = becameChanged
		for _, put := range s.Puts {
			heading, _ := s.Row.Heading(put.Field)
			change := FleetChange{Column: heading, From: put.Was, To: put.Text}
			if !whole && put.Was != put.Text && !slices.Contains(row.Fields, change) {
				row.Fields = append(row.Fields, change)
			}
		}
	}
	return row
}

// Same reports whether the place is as it was.
func (r FleetRow) Same() bool { return r.Became == becameSame }

// Says tells in a line what became of a place.
func (r FleetRow) Says() string {
	var parts []string
	for _, c := range r.Fields {
		from := c.From
		if from == "" {
			from = "nothing"
		}
		parts = append(parts, fmt.Sprintf("%s %s, was %s", c.Column, c.To, from))
	}
	if len(parts) == 0 && r.Became == becameChanged {
		for _, c := range []struct {
			word string
			ids  []string
		}{{"added", r.Changed.Added}, {"changed", r.Changed.Changed}, {"retired", r.Changed.Retired}} {
			if len(c.ids) > 0 {
				parts = append(parts, c.word+" "+strings.Join(c.ids, ", "))
			}
		}
	}
	if len(parts) == 0 {
		return r.Became
	}
	return r.Became + ": " + strings.Join(parts, "; ")
}
