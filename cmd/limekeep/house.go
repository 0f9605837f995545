package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"runtime"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"limekeep/cmd/limekeep/intake/busycal"
	"limekeep/cmd/limekeep/spell"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/store"
)

var _ schedule.Records = (*store.DB)(nil)

// house is the records with the rooms over them.
type house struct {
	db        *store.DB
	days      *day.Opener
	journal   *journal.Journal
	publisher *agenda.Publisher
	own       *busycal.Kept // calendars that owners brought
}

// houseOver lays the rooms over records, for what comes in by a door.
func houseOver(db *store.DB, days *day.Opener, source string) *house {
	h := &house{db: db, days: days, journal: &journal.Journal{Days: days}, publisher: &agenda.Publisher{Days: days}}
	h.from(source)
	return h
}

// close closes the records, once all is kept that was worked out from them.
func (h *house) close() {
	h.days.Rest()
	_ = h.db.Close() // what was written down is whole at any moment
}

// from says which door records come in by.
func (h *house) from(source string) {
	h.journal.Source, h.publisher.Source = source, source
	if source == "page" {
		h.days.Spell, h.days.Courses = spell.Page, true
		h.days.Workers = max(1, runtime.GOMAXPROCS(0)-1) // one is left to answer meanwhile
	}
}

// open opens the records, for whoever calls to close again.
func (a *app) open(ctx context.Context, source string) (*house, error) {
	path, err := a.dataFile()
	if err != nil {
		return nil, err
	}
	if err := a.mayOpen(path, os.Stdin, os.Stderr); err != nil {
		return nil, err
	}
	return a.openFile(ctx, path, source)
}

// mayOpen refuses to make a file of records that is not there, but for the commands that begin
// one: a name that was mistyped would else lead to records that are empty. Of a name given by
// hand it asks, where somebody sits there to answer; and what waits for a place to be set up may
// begin one elsewhere, and says where.
func (a *app) mayOpen(path string, in *os.File, out io.Writer) error {
	if a.begins || store.IsServer(path) || !isMissing(path) {
		return nil // what is the matter with one that is there is told when it is opened
	}
	if !a.typed && a.awaits {
		fmt.Fprintf(out, "there was no file %s: new records begin there\n", path)
		return nil
	}
	if !a.typed {
		return fmt.Errorf("%w (there is no file %s%s)", schedule.ErrNoPlace, path, a.namedBy())
	}
	if term.IsTerminal(int(in.Fd())) {
		fmt.Fprintf(out, "There is no file %s. Begin new records there, which are empty? [y/N] ", path)
		if line, err := bufio.NewReader(in).ReadString('\n'); err == nil {
			switch strings.ToLower(strings.TrimSpace(line)) {
			case "y", "yes":
				return nil
			}
		}
	}
	return &record.FieldError{Field: "--data", Value: path, Want: "the file of your records, since this one is not there; \"limekeep setup\" begins a new one"}
}

// isMissing reports whether nothing is at a path.
func isMissing(path string) bool {
	_, err := os.Stat(path)
	return errors.Is(err, fs.ErrNotExist)
}

// namedBy says where the name of the file of records comes from; empty for the usual one.
func (a *app) namedBy() string {
	switch {
	case os.Getenv("LIMEKEEP_DATA") != "":
		return ", which LIMEKEEP_DATA names"
	case a.settings.InConfig("data"):
		return ", which the settings name"
	}
	return ""
}

func (a *app) openFile(ctx context.Context, path, source string) (*house, error) {
	catalogue, err := care.Embedded()
	if err != nil {
		return nil, err
	}
	worlds := a.settings.GetInt("worlds")
	if worlds < 10 || worlds > 100_000 {
		return nil, &record.FieldError{Field: "--worlds", Value: a.settings.GetString("worlds"), Want: "10 to 100000"}
	}
	months := a.settings.GetInt("months")
	if months < 1 || months > 36 {
		return nil, &record.FieldError{Field: "--months", Value: a.settings.GetString("months"), Want: "1 to 36"}
	}
	db, err := store.Open(ctx, path, slog.New(slog.DiscardHandler))
	if err != nil {
		return nil, err
	}
	records := schedule.Records(db)
	if a.over != nil {
		records = a.over(db)
	}
	own := &busycal.Kept{Store: db, Now: time.Now, Fetch: busycal.Fetcher{}.Fetch}
	days := &day.Opener{
		Records: records, Catalogue: catalogue, Now: time.Now, Worlds: worlds,
		Spell: spell.Command, PlanMonths: months, PlanEffort: a.settings.GetInt("effort"), Busy: busycal.Together(busycal.FromFile(a.settings.GetString("busy")), own.Busy),
		Derived: db, Program: thisBuild(), Standings: db,
	}
	h := houseOver(db, days, source)
	h.own = own
	h.publisher.Routine = a.settings.GetBool("routine")
	return h, nil
}

// askHouse opens the records, gives them with the moment to do, and closes them
// again.
func (a *app) askHouse(cmd *cobra.Command, do func(context.Context, *house, schedule.Moment) error) error {
	m, err := a.moment()
	if err != nil {
		return err
	}
	h, err := a.open(cmd.Context(), "command")
	if err != nil {
		return err
	}
	defer h.close()
	return do(cmd.Context(), h, m)
}

// write opens the day, for do to write on it.
func (a *app) write(cmd *cobra.Command, do func(context.Context, *journal.Journal, *day.Day) error) error {
	return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
		d, err := h.days.Open(ctx, m)
		if err != nil {
			return err
		}
		return do(ctx, h.journal, d)
	})
}

// openOf opens the day of the place that a record is of: its number says which place is meant
// where --place does not.
func (h *house) openOf(ctx context.Context, m schedule.Moment, id int64) (*day.Day, error) {
	if m.Place == "" {
		places, err := h.days.Records.Places(ctx)
		if err != nil {
			return nil, err
		}
		switch found, err := h.days.Records.Find(ctx, id); {
		case err == nil && slices.Contains(places, found.Place): // and no book of something else
			m.Place = found.Place
		case err != nil && len(places) > 1:
			return nil, err
		}
	}
	return h.days.Open(ctx, m)
}

// ofRecord opens the day of the place that a record is of, for do to write on it.
func (a *app) ofRecord(cmd *cobra.Command, id int64, do func(context.Context, *journal.Journal, *day.Day) error) error {
	return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
		d, err := h.openOf(ctx, m, id)
		if err != nil {
			return err
		}
		return do(ctx, h.journal, d)
	})
}

// ask opens the day, for do to ask what the records say.
func (a *app) ask(cmd *cobra.Command, do func(context.Context, *day.Day) error) error {
	return a.write(cmd, func(ctx context.Context, _ *journal.Journal, d *day.Day) error { return do(ctx, d) })
}

// foresee works the day's forecast out, for do to ask what is to come.
func (a *app) foresee(cmd *cobra.Command, do func(*day.Forecast) error) error {
	return a.ask(cmd, func(ctx context.Context, d *day.Day) error {
		f, err := d.Forecast(ctx)
		if err != nil {
			return err
		}
		return a.answerIn(cmd, d.Place, func() error { return do(f) })
	})
}

// askStore gives the store and the place to do. It is for what is no record:
// secrets and passwords.
func (a *app) askStore(cmd *cobra.Command, do func(context.Context, *store.DB, day.PlaceInfo) error) error {
	return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
		d, err := h.days.Open(ctx, m)
		if err != nil {
			return err
		}
		return do(ctx, h.db, d.Info())
	})
}
