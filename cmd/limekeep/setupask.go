package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"charm.land/huh/v2"
	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/cmd/limekeep/web/api"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/interview"
	"limekeep/schedule/record"
)

// setUpByQuestions asks about the place, sets it up, and answers with what was assumed
// and what to do first.
func (a *app) setUpByQuestions(cmd *cobra.Command, keep string) error {
	return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
		places, err := h.days.Records.Places(ctx)
		if err != nil {
			return err
		}
		if len(places) > 0 {
			return fmt.Errorf("%s is set up already: change it with a place file, `limekeep setup FILE`", strings.Join(places, ", "))
		}
		zone := ownZone()
		if m.Today.IsZero() {
			m.Today = record.DateOf(time.Now())
		}
		asker, leave, err := a.askerOf(cmd)
		if err != nil {
			return err
		}
		defer leave()
		answers := interview.Answers{}
		for {
			q, more := answers.Next(zone)
			if !more {
				break
			}
			costs, err := answers.Cost(ctx, h.days.Catalogue, m.Today, zone, q)
			if err != nil {
				return err
			}
			if answers[q.ID], err = asker.ask(q, costs, m.Today); err != nil {
				return err
			}
		}
		leave()
		told := answers.Place(m.Today, zone)
		started, err := h.setUp().Start(ctx, m.Today, told)
		if err != nil {
			return err
		}
		if keep != "" {
			if err := writePlaceFile(keep, told); err != nil {
				return err
			}
		}
		if a.asJSON {
			return printJSON(cmd, started)
		}
		fmt.Fprintln(cmd.OutOrStdout())
		printStarted(a.tellOwner(cmd.OutOrStdout(), told.Setup.Place), started)
		if keep != "" {
			fmt.Fprintf(cmd.OutOrStdout(), "\nThe same stands in %s, to be changed and applied again with `limekeep setup %s`.\n", keep, keep)
		} else {
			fmt.Fprintln(cmd.OutOrStdout(), "\n`limekeep setup show` prints all this as a place file, to be changed and applied again.")
		}
		return nil
	})
}

func printStarted(w io.Writer, s api.SetUpAnswer) {
	if s.Nothing() {
		fmt.Fprintf(w, "%s: nothing new\n", s.Place)
	}
	for _, line := range []struct {
		what string
		ids  []string
	}{{"added", s.Added}, {"changed", s.Changed.Changed}, {"retired (no longer in the file; its history stays)", s.Retired}} {
		if len(line.ids) > 0 {
			fmt.Fprintf(w, "%s: %s\n", line.what, strings.Join(line.ids, ", "))
		}
	}
	if s.Nothing() {
		return
	}
	if len(s.Assumed) > 0 {
		fmt.Fprintln(w, "\nWhat was assumed:")
		printLines(w, "  - ", s.Assumed)
	}
	if len(s.Moved) > 0 {
		fmt.Fprintln(w, "\nDates that moved:")
		for _, m := range s.Moved {
			printWrapped(w, "  ", m.Says)
		}
		if s.Others > 0 {
			fmt.Fprintf(w, "  and %d more\n", s.Others)
		}
	}
	fmt.Fprintln(w, "\nThe next three things to do:")
	printNumbered(w, s.Next)
}

func writePlaceFile(path string, told interview.Told) error {
	data, err := placefile.Write(told.Setup, told.Assumed)
	if err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644) //nolint:gosec // it holds no secret
	if err != nil {
		return fmt.Errorf("the place is set up, but --keep: %w", err)
	}
	if _, err := f.Write(data); err != nil {
		return errors.Join(err, f.Close())
	}
	return f.Close()
}

// asker asks a question and returns the answer as it is kept.
type asker interface {
	ask(q interview.Question, costs string, today record.Date) (string, error)
}

// askerOf returns one that draws on a terminal, or one that reads lines, and what gives
// the terminal back.
func (a *app) askerOf(cmd *cobra.Command) (asker, func(), error) {
	if !canAsk(cmd, "") {
		out := cmd.OutOrStdout()
		if a.asJSON {
			out = cmd.ErrOrStderr() // the answer alone is JSON
		}
		return &lineAsker{in: bufio.NewScanner(cmd.InOrStdin()), out: out}, func() {}, nil
	}
	keys, leave, err := openKeys(os.Stdin)
	if err != nil {
		return nil, nil, err
	}
	return drawnAsker{keys}, leave, nil
}

// errBrokenOff says that the questions ended before the answers did.
var errBrokenOff = errors.New("the questions were broken off, so nothing was written down: answer each with a line, an empty one where you do not know")

// lineAsker asks by lines, so that a script can answer.
type lineAsker struct {
	in  *bufio.Scanner
	out io.Writer
	n   int
}

func (l *lineAsker) ask(q interview.Question, costs string, today record.Date) (string, error) {
	l.n++
	fmt.Fprintf(l.out, "\n%d. %s\n", l.n, q.Ask)
	if q.Help != "" {
		printWrapped(l.out, "   ", q.Help)
	}
	for i, o := range q.Options {
		fmt.Fprintf(l.out, "   %d  %s\n", i+1, o.Label)
	}
	printWrapped(l.out, "   ?  ", "I don't know: "+costs)
	for {
		fmt.Fprint(l.out, "> ")
		if !l.in.Scan() {
			fmt.Fprintln(l.out)
			if err := l.in.Err(); err != nil {
				return "", err
			}
			return "", errBrokenOff
		}
		answer, err := q.Read(l.in.Text(), today)
		var wrong *record.FieldError
		if errors.As(err, &wrong) {
			fmt.Fprintf(l.out, "   %q cannot be taken; give %s\n", wrong.Value, wrong.Want)
			continue
		}
		return answer, err
	}
}

// drawnAsker asks on a terminal, with a list to go through by the arrows.
type drawnAsker struct{ keys *keyboard }

func (d drawnAsker) ask(q interview.Question, costs string, today record.Date) (string, error) {
	about := strings.TrimSpace(q.Help + "\nI don't know: " + costs)
	answer := ""
	var field huh.Field
	if q.Kind == interview.Choice {
		options := make([]huh.Option[string], 0, len(q.Options)+1)
		for _, o := range q.Options {
			options = append(options, huh.NewOption(o.Label, o.Value))
		}
		options = append(options, huh.NewOption("I don't know", interview.DontKnow))
		field = huh.NewSelect[string]().Title(q.Ask).Description(about).Options(options...).Value(&answer)
	} else {
		field = huh.NewInput().Title(q.Ask).Description(about + "\nLeave it empty if you do not know.").Placeholder(q.Usual).Value(&answer).Validate(func(typed string) error {
			_, err := q.Read(typed, today)
			var wrong *record.FieldError
			if errors.As(err, &wrong) {
				return errors.New("give " + wrong.Want)
			}
			return err
		})
	}
	turn := d.keys.turn()
	err := huh.NewForm(huh.NewGroup(field)).WithInput(turn).Run()
	turn.end()
	if err != nil {
		if errors.Is(err, huh.ErrUserAborted) {
			return "", errBrokenOff
		}
		return "", err
	}
	return q.Read(answer, today)
}

// ownZone returns the time zone of this computer by its name; empty where it has none
// that can be told.
func ownZone() string {
	named := os.Getenv("TZ")
	if named == "" {
		if link, err := filepath.EvalSymlinks("/etc/localtime"); err == nil {
			_, named, _ = strings.Cut(filepath.ToSlash(link), "zoneinfo/")
		}
	}
	if named == "" || named == "Local" {
		return ""
	}
	if _, err := time.LoadLocation(named); err != nil {
		return ""
	}
	return named
}

// newSetupShow prints the place as a place file.
func newSetupShow(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "show",
		Short:   "Print the place as a place file",
		Long:    "Prints the place as it stands as a commented place file, to be changed and applied again.",
		Example: "  limekeep setup show > place.yaml",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.ask(cmd, func(_ context.Context, d *day.Day) error {
				data, err := placefile.Write(schedule.Setup{Place: d.Place, Equipment: d.Book.Equipment(), Care: d.Book.OwnCare().Body}, nil)
				if err != nil {
					return err
				}
				_, err = cmd.OutOrStdout().Write(data)
				return err
			})
		},
	}
}
