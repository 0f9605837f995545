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
	"limekeep/water/figure"
)

// useImport is what the flags of an import say.
type useImport struct {
	machine, dates, decimal, doses string
	mapped                         map[string]string
	ignore                         []string
	habitDose, asWritten, dryRun   bool
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
counted twice.`,
		Example: `  limekeep use import shots.csv --dry-run
  limekeep use import liste.csv --map 'date=Datum,dose_g=Pulver,yield_g=Getränk' --ignore '*'
  limekeep use import tassen.csv --map 'date=Tag,hot_water_ml=Wasser' --doses together`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.write(cmd, func(ctx context.Context, j *schedule.Journal, d *schedule.Day) error {
				return a.importUse(ctx, cmd, j, d, args[0], flags)
			})
		},
	}
	set := cmd.Flags()
	set.StringVar(&flags.machine, "machine", "", "id of the machine, where there is more than one")
	set.StringToStringVar(&flags.mapped, "map", nil, "names of columns in the file, such as 'shots=Anzahl,date=Datum'")
	set.StringSliceVar(&flags.ignore, "ignore", nil, "columns of the file to pass over; '*' for all that are not known")
	set.StringVar(&flags.dates, "dates", "", "how dates in numbers are written: day-first, month-first or year-first (default: as the file tells)")
	set.StringVar(&flags.decimal, "decimal", "", "what parts decimals: point or comma (default: as the file tells)")
	set.StringVar(&flags.doses, "doses", "", "what dose and yield of a row of several shots are of: each or together")
	set.BoolVar(&flags.habitDose, "habit-dose", false, "take the habit's dose in rows whose dose is empty")
	set.BoolVar(&flags.asWritten, "as-written", false, "take what is unusual for the place as it stands in the file")
	set.BoolVar(&flags.dryRun, "dry-run", false, "read and check the file, show how it is understood, and write nothing")
	return a.answers(cmd)
}

// options reads the flags.
func (f useImport) options(machine record.Equipment, zone *time.Location) (shotlog.Options, error) {
	options := shotlog.Options{
		Mapped: f.mapped, Ignore: f.ignore, HabitDose: f.habitDose, AsWritten: f.asWritten, Preview: f.dryRun,
		Machine: machine.Machine, Zone: zone,
	}
	var ok bool
	if options.Order, ok = shotlog.ParseDayOrder(f.dates); f.dates != "" && !ok {
		return options, &record.FieldError{Field: "--dates", Value: f.dates, Want: "day-first, month-first or year-first"}
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
func (a *app) importUse(ctx context.Context, cmd *cobra.Command, j *schedule.Journal, d *schedule.Day, path string, flags useImport) error {
	machine, err := d.UseMachine(flags.machine)
	if err != nil {
		return err
	}
	options, err := flags.options(machine, d.Zone)
	if err != nil {
		return err
	}
	file, size, err := openUseFile(path, cmd.InOrStdin())
	if err != nil {
		return err
	}
	defer file.Close()
	in := io.Reader(file)
	if f, ok := file.(*os.File); ok {
		in = f // it can go back to its beginning
	}
	for {
		log, err := shotlog.Open(in, options)
		if err != nil {
			return fmt.Errorf("%s: %w; nothing was written", path, err)
		}
		about := log.About()
		about.Machine, about.Name, about.Preview = machine.ID, filepath.Base(path), flags.dryRun
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
			return fmt.Errorf("%s: %w; nothing was written", path, log.Locate(err))
		}
		return a.printUse(cmd, log, outcome)
	}
}

// printUse prints what became of a file.
func (a *app) printUse(cmd *cobra.Command, log *shotlog.Log, outcome schedule.UseImport) error {
	if a.asJSON {
		questions := []string{}
		for _, q := range log.Questions() {
			questions = append(questions, q.String())
		}
		return printJSON(cmd, struct {
			schedule.UseImport
			Notes     []string `json:"notes,omitempty"`
			Questions []string `json:"questions,omitempty"`
		}{outcome, log.Notes(), questions})
	}
	out := cmd.OutOrStdout()
	if outcome.Preview {
		printPreview(out, log, outcome)
		return nil
	}
	printImport(out, outcome)
	for _, note := range log.Notes() {
		fmt.Fprintln(out, note)
	}
	return nil
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
	for _, note := range log.Notes() {
		fmt.Fprintln(out, note)
	}
	for _, q := range log.Questions() {
		fmt.Fprintf(out, "to be said before it is written: %s\n", q)
	}
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
