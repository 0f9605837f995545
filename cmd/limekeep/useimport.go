package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/shotlog"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// useImport is what the flags of an import say.
type useImport struct {
	machine, dates, decimal, doses string
	mapped                         map[string]string
	ignore                         []string
	habitDose, asWritten           bool
	replace, dryRun                bool
}

func newUseImport(a *app) *cobra.Command {
	var flags useImport
	cmd := &cobra.Command{
		Use:   "import FILE.csv",
		Short: "Write down a file of use, all of it or nothing",
		Long: `Writes a CSV file of use down, all of it or nothing. A file named - is read from standard input.

The first row names the columns, in any order: date (2026-03-31, or with a time, 2026-03-31 07:40),
time, shots (1 where left out), dose_g, yield_g or ratio (1:2), seconds, steamed (how many of the
shots got steamed milk, or yes or no), hot_water_l or hot_water_ml, grind, drink, beans, note. A column
of another name is named with --map or passed over with --ignore. Titles before that row, the row once
more, and rows of sums are passed over. Where there is a drink column and no steamed one, the name of
the drink tells whether it took milk.

Files come in UTF-8 or UTF-16; commas, semicolons, tabs or bars part the cells. Dates may have names of
months or be a spreadsheet's serial numbers or Unix times. What can be read in two ways is read as the
rest of the file tells: whether 3/4/2026 is in March or April, whether 1.250 are thousands. Where
nothing tells, say so with --dates or --decimal.

What is unusual for the place is asked about before anything is written: 150 litres of hot water at
home, a dose larger than its yield, three shots in one minute. Without a terminal to ask at, nothing is
written and the message says what to pass. In rows of several shots say with --doses whether dose and
yield are of each shot or of all together.

The file counts as complete from its first day to its last: a day in between without a row was a day
without a shot. Rows that an earlier file brought already, of the same machine and instant, are not
counted twice. Those that say something else now are shown and left as they are; with --replace they
take the place of what was written down before, which history then shows as void.`,
		Example: `  limekeep use import shots.csv --dry-run
  limekeep use import liste.csv --map 'date=Datum,dose_g=Pulver,yield_g=Getränk' --ignore '*'
  limekeep use import tassen.csv --map 'date=Tag,hot_water_ml=Wasser' --doses together`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.write(cmd, func(ctx context.Context, j *journal.Journal, d *day.Day) error {
				return a.importUse(ctx, cmd, j, d, args[0], flags)
			})
		},
	}
	set := cmd.Flags()
	set.StringVar(&flags.machine, "machine", "", "id of the machine, where there is more than one")
	set.StringToStringVar(&flags.mapped, "map", nil, "names of columns in the file, such as 'shots=Anzahl,date=Datum'")
	set.StringSliceVar(&flags.ignore, "ignore", nil, "columns of the file to pass over; '*' for all that are not known")
	set.StringVar(&flags.dates, "dates", "", "how dates in numbers are written: day-first, month-first or year-first, or a spreadsheet's numbers, serial-1900 or serial-1904 (default: as the file tells)")
	set.StringVar(&flags.decimal, "decimal", "", "what parts decimals: point or comma (default: as the file tells)")
	set.StringVar(&flags.doses, "doses", "", "what dose and yield of a row of several shots are of: each or together")
	set.BoolVar(&flags.habitDose, "habit-dose", false, "take the habit's dose in rows whose dose is empty")
	set.BoolVar(&flags.asWritten, "as-written", false, "take what is unusual for the place as it stands in the file")
	set.BoolVar(&flags.replace, "replace", false, "take rows that say something else than before in place of those")
	set.BoolVar(&flags.dryRun, "dry-run", false, "read and check the file, show how it is understood, and write nothing")
	return a.answers(cmd)
}

// options reads the flags.
func (f useImport) options(machine record.Equipment, d *day.Day) (shotlog.Options, error) {
	options := shotlog.Options{
		Mapped: f.mapped, Ignore: f.ignore, HabitDose: f.habitDose, AsWritten: f.asWritten, Preview: f.dryRun,
		Machine: machine.Machine, Zone: d.Zone, Today: d.Today,
	}
	var ok bool
	if options.Order, ok = shotlog.ParseDayOrder(f.dates); f.dates != "" && !ok {
		return options, &record.FieldError{Field: "--dates", Value: f.dates, Want: "day-first, month-first or year-first, serial-1900 or serial-1904"}
	}
	if options.Mark, ok = map[string]figure.Mark{"": figure.Either, "point": figure.Point, "comma": figure.Comma}[f.decimal]; !ok {
		return options, &record.FieldError{Field: "--decimal", Value: f.decimal, Want: "point or comma"}
	}
	if options.Doses, ok = map[string]shotlog.Doses{"": shotlog.AskDoses, "each": shotlog.EachShot, "together": shotlog.AllTogether}[f.doses]; !ok {
		return options, &record.FieldError{Field: "--doses", Value: f.doses, Want: "each or together"}
	}
	return options, nil
}

// importUse takes a file in, asks what it leaves open where there is somebody to
// ask, and prints what became of it.
func (a *app) importUse(ctx context.Context, cmd *cobra.Command, j *journal.Journal, d *day.Day, path string, flags useImport) error {
	machine, err := d.UseMachine(flags.machine)
	if err != nil {
		return err
	}
	options, err := flags.options(machine, d)
	if err != nil {
		return err
	}
	file, size, err := openUseFile(path, cmd.InOrStdin())
	if err != nil {
		return err
	}
	defer file.Close()
	in := stopping{ctx, file}
	for {
		log, err := shotlog.Open(in, options)
		if err != nil {
			return fmt.Errorf("%s: %w; nothing was written", path, err)
		}
		about := log.About()
		about.Machine, about.Name, about.Preview, about.Replace = machine.ID, filepath.Base(path), flags.dryRun, flags.replace
		progress := newProgress(cmd.ErrOrStderr(), size)
		outcome, err := j.ImportUse(ctx, d, about, log.Rows(progress.told))
		progress.end()
		var open *shotlog.QuestionsError
		if errors.As(err, &open) && !a.asJSON && canAsk(cmd, path) {
			if askQuestions(cmd.InOrStdin(), cmd.ErrOrStderr(), open.Questions, &options) && rewind(in) {
				continue
			}
		}
		if err != nil {
			return fmt.Errorf("%s: %w; nothing was written", path, log.Locate(shotlog.FarApart(err)))
		}
		return a.printUse(cmd, log, outcome)
	}
}

// onlyForward is the standard input, which others close.
type onlyForward struct{ io.Reader }

// Close does nothing.
func (onlyForward) Close() error { return nil }

// openUseFile opens a file of use by its name, - for standard input. size is 0
// where it is not known.
func openUseFile(path string, stdin io.Reader) (file io.ReadCloser, size int64, err error) {
	if path == "-" {
		return onlyForward{stdin}, 0, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, 0, fmt.Errorf("the file of use cannot be read: %w", err)
	}
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, 0, errors.Join(fmt.Errorf("the file of use cannot be read: %w", err), f.Close())
	case info.IsDir():
		return nil, 0, errors.Join(&record.FieldError{Field: "file", Value: path, Want: "a CSV file, not a folder"}, f.Close())
	case info.Mode().IsRegular():
		size = info.Size()
	}
	return f, size, nil
}
