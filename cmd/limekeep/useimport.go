package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/shotlog"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

func newUseImport(a *app) *cobra.Command {
	var machine, dates string
	var mapped map[string]string
	var ignore []string
	var dryRun, habitDose bool
	cmd := &cobra.Command{
		Use:   "import FILE.csv",
		Short: "Write down a file of use, all of it or nothing",
		Long: `Writes a CSV file of use down, all of it or nothing. A file named - is read from standard input.

The first row names the columns, in any order: date (2026-03-31, or with a time, 2026-03-31 07:40),
time, shots (1 where left out), dose_g, yield_g, seconds, steamed (how many of the shots got steamed
milk), hot_water_l, grind, drink, beans, note. A column of another name is named with --map or passed
over with --ignore. Commas, semicolons or tabs part the cells; numbers may have a decimal comma, times
am or pm. Dates in numbers, 3/4/2026, are read day first or month first as the other dates of the file
tell; where none does, say so with --dates. Where there is a drink column and no steamed one, the
name of the drink tells whether it took milk.

The file counts as complete from its first day to its last: a day in between without a row was a day
without a shot. Rows that an earlier file brought already, of the same machine and instant, are not
counted twice.`,
		Example: `  limekeep use import shots.csv --dry-run
  limekeep use import liste.csv --map 'date=Datum,dose_g=Pulver,yield_g=Getränk' --ignore '*'`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			order, ok := shotlog.ParseDayOrder(dates)
			if dates != "" && !ok {
				return &record.FieldError{Field: "--dates", Value: dates, Want: "day-first, month-first or year-first"}
			}
			file, size, err := openUseFile(args[0], cmd.InOrStdin())
			if err != nil {
				return err
			}
			defer file.Close()
			return a.write(cmd, func(ctx context.Context, j *schedule.Journal, d *schedule.Day) error {
				in := io.Reader(file)
				if f, ok := file.(*os.File); ok {
					in = f // it can go back to its beginning
				}
				log, err := shotlog.Open(in, shotlog.Options{Mapped: mapped, Ignore: ignore, Order: order, HabitDose: habitDose, Zone: d.Zone})
				if err != nil {
					return fmt.Errorf("%s: %w; nothing was written", args[0], err)
				}
				about := log.About()
				about.Machine, about.Name, about.Preview = machine, filepath.Base(args[0]), dryRun
				progress := newProgress(cmd.ErrOrStderr(), size)
				outcome, err := j.ImportUse(ctx, d, about, log.Rows(progress.told))
				progress.end()
				if err != nil {
					return fmt.Errorf("%s: %w; nothing was written", args[0], log.Locate(err))
				}
				if a.asJSON {
					return printJSON(cmd, outcome)
				}
				out := cmd.OutOrStdout()
				if dryRun {
					printPreview(out, log, outcome)
				} else {
					printImport(out, outcome)
				}
				return nil
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&machine, "machine", "", "id of the machine, where there is more than one")
	flags.StringToStringVar(&mapped, "map", nil, "names of columns in the file, such as 'shots=Anzahl,date=Datum'")
	flags.StringSliceVar(&ignore, "ignore", nil, "columns of the file to pass over; '*' for all that are not known")
	flags.StringVar(&dates, "dates", "", "how dates in numbers are written: day-first, month-first or year-first (default: as the file tells)")
	flags.BoolVar(&habitDose, "habit-dose", false, "take the habit's dose in rows whose dose is empty")
	flags.BoolVar(&dryRun, "dry-run", false, "read and check the file, show how it is understood, and write nothing")
	return a.answers(cmd)
}

// openUseFile opens a file of use by its name, - for standard input. size is 0
// where it is not known.
func openUseFile(path string, stdin io.Reader) (file io.ReadCloser, size int64, err error) {
	if path == "-" {
		return io.NopCloser(stdin), 0, nil
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

func printImport(out io.Writer, r schedule.UseImport) {
	if r.ID == 0 {
		fmt.Fprintf(out, "took 0 rows: all %d were known already\n", r.Known)
		return
	}
	fmt.Fprintf(out, "took %s from %s to %s as record %d", counted(r.Added, "row"), r.From, r.To, r.ID)
	if r.Known > 0 {
		fmt.Fprintf(out, "; %d more were known already", r.Known)
	}
	fmt.Fprintln(out)
	printUnknownDrinks(out, r)
}

func printUnknownDrinks(out io.Writer, r schedule.UseImport) {
	if len(r.UnknownDrinks) > 0 {
		fmt.Fprintf(out, "taken for drinks without milk or hot water: %s; name them under habit: drinks: in the place file where that is wrong\n", strings.Join(r.UnknownDrinks, ", "))
	}
}

// printPreview shows how a file was understood.
func printPreview(out io.Writer, log *shotlog.Log, r schedule.UseImport) {
	fmt.Fprintf(out, "columns: %s\n", log.Columns())
	if order := log.Order(); order == shotlog.DayFirst || order == shotlog.MonthFirst {
		fmt.Fprintf(out, "dates: %s\n", order)
	}
	table := tabwriter.NewWriter(out, 0, 8, 2, ' ', 0)
	fmt.Fprintln(table, "DATE\tTIME\tSHOTS\tDOSE G\tYIELD G\tSECONDS\tSTEAMED\tHOT WATER L\tGRIND\tDRINK\tBEANS\tNOTE")
	for _, row := range r.First {
		clock := "-"
		if row.Minute >= 0 {
			clock = fmt.Sprintf("%02d:%02d", row.Minute/60, row.Minute%60)
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", row.Date, clock, orDash(row.Shots), orDash(row.DoseGrams), orDash(row.YieldGrams),
			orDash(row.Seconds), orDash(row.Steamed), orDash(row.HotWaterLitres), cut(row.Grind), cut(row.Drink), cut(row.Beans), cut(row.Note))
	}
	table.Flush()
	fmt.Fprintf(out, "%s from %s to %s, %.10g shots; known already: %d\n", counted(r.Added+r.Known, "row"), r.From, r.To, r.Shots, r.Known)
	printUnknownDrinks(out, r)
	fmt.Fprintln(out, "nothing was written")
}

// counted writes so many of something.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// orDash writes a number, and a dash for nothing.
func orDash(x float64) string {
	if x == 0 {
		return "-"
	}
	return fmt.Sprintf("%.10g", x)
}

// cut keeps words to a width for a table.
func cut(text string) string {
	const most = 24
	if runes := []rune(strings.Join(strings.Fields(text), " ")); len(runes) > most {
		return string(runes[:most-1]) + "…"
	} else if len(runes) == 0 {
		return "-"
	} else {
		return string(runes)
	}
}

// progress shows on a terminal how far a long import has come, and is silent
// everywhere else.
type progress struct {
	out   io.Writer // nil where there is no terminal
	size  int64
	shown bool
	last  time.Time
}

func newProgress(w io.Writer, size int64) *progress {
	p := &progress{size: size, last: time.Now()}
	if f, ok := w.(*os.File); ok {
		if info, err := f.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			p.out = w
		}
	}
	return p
}

// told hears how many bytes are read.
func (p *progress) told(bytes int64) {
	const often = 250 * time.Millisecond
	if p.out == nil || time.Since(p.last) < often {
		return
	}
	p.last, p.shown = time.Now(), true
	if p.size > 0 {
		fmt.Fprintf(p.out, "\rreading: %d %% of %.1f MB ", min(100, 100*bytes/p.size), float64(p.size)/1e6)
	} else {
		fmt.Fprintf(p.out, "\rreading: %.1f MB ", float64(bytes)/1e6)
	}
}

// end leaves the line as it was.
func (p *progress) end() {
	if p.shown {
		fmt.Fprint(p.out, "\r"+strings.Repeat(" ", 40)+"\r")
	}
}
