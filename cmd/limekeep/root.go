package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/viper"

	"limekeep/cmd/limekeep/intake/busycal"
	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/record"
	"limekeep/store"
)

var _ schedule.Records = (*store.DB)(nil)

// app is what the commands share: the settings.
type app struct {
	settings *viper.Viper
	asJSON   bool
}

// newRoot makes the command with all its subcommands.
func newRoot() *cobra.Command {
	a := &app{settings: viper.New()}
	root := &cobra.Command{
		Use:           "limekeep",
		Short:         "Upkeep for an espresso machine, its grinder and its water",
		Long:          "limekeep works out from your own water, use and services when each piece of care of an\nespresso machine, its grinder and its water falls due, and puts it in your calendar.",
		Version:       thisVersion().String(),
		SilenceUsage:  true,
		SilenceErrors: true,
		PersistentPreRunE: func(cmd *cobra.Command, _ []string) error {
			return a.load(cmd)
		},
	}
	root.SetVersionTemplate("{{.Version}}")
	flags := root.PersistentFlags()
	flags.String("data", "", "file that keeps the records (default: in your data folder)")
	flags.String("today", "", "take this day for today, such as 2026-03-31 (default: today at the place)")
	flags.String("place", "", "id of the place, where the records hold more than one")
	flags.String("settings", "", "file of settings (default: settings.yaml in your configuration folder)")
	flags.Int("worlds", schedule.DefaultWorlds, "how many worlds a forecast draws")
	flags.Int("effort", 0, "how many steps the search for a plan may take (default: a few hundredths of a second)")
	flags.Int("months", schedule.DefaultPlanMonths, "how many months are planned")
	flags.String("busy", "", "calendar file (.ics) of your own; no sitting is planned where it is busy")
	flags.Bool("routine", false, "show the daily routine in the calendar, as one entry that recurs")
	root.AddCommand(
		newSetup(a), newWater(a), newUse(a), newAway(a), newDone(a), newVoid(a),
		newDue(a), newWhy(a), newTasks(a), newSteps(a), newMeasure(a), newDescale(a), newHistory(a), newCalendar(a),
		newPlan(a), newMove(a), newBlock(a), newStock(a),
		newServe(a), newApps(a), newDemo(a), newVersion(a),
	)
	return root
}

// load reads the settings: a flag counts most, then the environment, then the
// file, then the default.
func (a *app) load(cmd *cobra.Command) error {
	a.settings.SetEnvPrefix("LIMEKEEP")
	a.settings.AutomaticEnv()
	if err := a.settings.BindPFlags(cmd.Flags()); err != nil {
		return err
	}
	named := a.settings.GetString("settings")
	path := named
	if path == "" {
		folder, err := os.UserConfigDir()
		if err != nil {
			return nil // no folder, no file
		}
		path = filepath.Join(folder, "limekeep", "settings.yaml")
	}
	a.settings.SetConfigFile(path)
	a.settings.SetConfigType("yaml")
	err := a.settings.ReadInConfig()
	if err != nil && (named != "" || !errors.Is(err, fs.ErrNotExist)) {
		return fmt.Errorf("settings: %s cannot be read: %w", path, err)
	}
	return nil
}

// dataFile gives the file of the records.
func (a *app) dataFile() (string, error) {
	if path := a.settings.GetString("data"); path != "" {
		return path, nil
	}
	if folder := os.Getenv("XDG_DATA_HOME"); folder != "" {
		return filepath.Join(folder, "limekeep", "records.db"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("data: there is no home folder to keep records in; name a file with --data: %w", err)
	}
	switch runtime.GOOS {
	case "darwin":
		return filepath.Join(home, "Library", "Application Support", "limekeep", "records.db"), nil
	case "windows":
		return filepath.Join(home, "AppData", "Local", "limekeep", "records.db"), nil
	}
	return filepath.Join(home, ".local", "share", "limekeep", "records.db"), nil
}

// moment gives what the settings say of the place and the day.
func (a *app) moment() (schedule.Moment, error) {
	m := schedule.Moment{Place: a.settings.GetString("place")}
	if text := a.settings.GetString("today"); text != "" {
		today, err := record.ParseDate(text)
		if err != nil {
			return m, rename(err, "--today")
		}
		m.Today = today
	}
	return m, nil
}

// house is the records with the rooms over them.
type house struct {
	db        *store.DB
	days      *schedule.Opener
	journal   *schedule.Journal
	publisher *schedule.Publisher
}

// houseOver lays the rooms over records, for what comes in by a door.
func houseOver(db *store.DB, days *schedule.Opener, source string) *house {
	h := &house{db: db, days: days, journal: &schedule.Journal{Days: days}, publisher: &schedule.Publisher{Days: days}}
	h.from(source)
	return h
}

// from says which door records come in by.
func (h *house) from(source string) { h.journal.Source, h.publisher.Source = source, source }

// open opens the records, for whoever calls to close again.
func (a *app) open(ctx context.Context, source string) (*house, error) {
	path, err := a.dataFile()
	if err != nil {
		return nil, err
	}
	return a.openFile(ctx, path, source)
}

func (a *app) openFile(ctx context.Context, path, source string) (*house, error) {
	catalogue, err := care.Embedded()
	if err != nil {
		return nil, err
	}
	worlds := a.settings.GetInt("worlds")
	if worlds < 10 || worlds > 100_000 {
		return nil, &record.FieldError{Field: "--worlds", Value: fmt.Sprint(worlds), Want: "10 to 100000"}
	}
	months := a.settings.GetInt("months")
	if months < 1 || months > 36 {
		return nil, &record.FieldError{Field: "--months", Value: fmt.Sprint(months), Want: "1 to 36"}
	}
	db, err := store.Open(ctx, path, slog.New(slog.DiscardHandler))
	if err != nil {
		return nil, err
	}
	days := &schedule.Opener{
		Records: db, Catalogue: catalogue, Now: time.Now, Worlds: worlds,
		PlanMonths: months, PlanEffort: a.settings.GetInt("effort"), Busy: busycal.FromFile(a.settings.GetString("busy")),
	}
	h := houseOver(db, days, source)
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
	defer h.db.Close()
	return do(cmd.Context(), h, m)
}

// write opens the day, for do to write on it.
func (a *app) write(cmd *cobra.Command, do func(context.Context, *schedule.Journal, *schedule.Day) error) error {
	return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
		d, err := h.days.Open(ctx, m)
		if err != nil {
			return err
		}
		return do(ctx, h.journal, d)
	})
}

// ask opens the day, for do to ask what the records say.
func (a *app) ask(cmd *cobra.Command, do func(context.Context, *schedule.Day) error) error {
	return a.write(cmd, func(ctx context.Context, _ *schedule.Journal, d *schedule.Day) error { return do(ctx, d) })
}

// foresee works the day's forecast out, for do to ask what is to come.
func (a *app) foresee(cmd *cobra.Command, do func(*schedule.Forecast) error) error {
	return a.ask(cmd, func(ctx context.Context, d *schedule.Day) error {
		f, err := d.Forecast(ctx)
		if err != nil {
			return err
		}
		return do(f)
	})
}

// answers marks a command as one that answers a question, which can do so in
// JSON.
func (a *app) answers(cmd *cobra.Command) *cobra.Command {
	cmd.Flags().BoolVar(&a.asJSON, "json", false, "answer in JSON")
	return cmd
}

// rename names the field of an error as the person wrote it.
func rename(err error, field string) error {
	var wrong *record.FieldError
	if errors.As(err, &wrong) {
		named := *wrong
		named.Field = field
		return &named
	}
	return err
}
