package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/score"
	"limekeep/water/figure"
)

func newScore(a *app) *cobra.Command {
	var share string
	var merge, propose bool
	cmd := &cobra.Command{
		Use:   "score [FILE ...]",
		Short: "How the forecasts fared against what was found",
		Long: `Holds what services, condition checks and water tests found against what the plan that went out
last before then expected: how often windows held against the 80 % they promise, how likely was
what was found, and how a fixed interval would have fared, or of water the last test again. The
day of a service says nothing, since work is done when it suits; what was found does.

With --share FILE it writes the score without names, for others: no place, no equipment, no notes,
no days. With --merge it puts such files of many places together, without any records, and with
--propose says which limits of the catalogue their findings speak against, and by how much.`,
		Example: `  limekeep score
  limekeep score --share our-score.json
  limekeep score --merge --propose scores/*.json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case merge && share != "":
				return &record.FieldError{Field: "--share", Value: share, Want: "either --share or --merge, since what is merged was shared before"}
			case merge:
				return a.mergeScores(cmd, args, propose)
			case len(args) > 0:
				return &record.FieldError{Field: "FILE", Value: args[0], Want: "--merge with files, or none without it"}
			case share != "":
				return a.foresee(cmd, func(f *day.Forecast) error { return shareScore(cmd, f, share) })
			case propose:
				return a.foresee(cmd, func(f *day.Forecast) error {
					return a.printMerged(cmd, score.Merge([]score.Shared{f.Share()}), true)
				})
			}
			return a.ask(cmd, func(_ context.Context, d *day.Day) error {
				if a.asJSON {
					return printJSON(cmd, d.Score())
				}
				return printScore(cmd.OutOrStdout(), d.Score())
			})
		},
	}
	cmd.Flags().StringVar(&share, "share", "", "file to write the score to, without names; - for standard output")
	cmd.Flags().BoolVar(&merge, "merge", false, "put the shared scores in FILES together")
	cmd.Flags().BoolVar(&propose, "propose", false, "say which limits of the catalogue the findings speak against")
	return a.answers(cmd)
}

// printScore writes how the forecasts of a place fared.
func printScore(w io.Writer, s score.Score) error {
	printWrapped(w, "", say.ScoreSince(s))
	if len(s.Cases) > 0 {
		fmt.Fprintln(w)
		if err := printTallies(w, s.Tallies); err != nil {
			return err
		}
		fmt.Fprintln(w)
		for _, text := range say.Tally(s.Tallies[0]) {
			printWrapped(w, "", text)
		}
		fmt.Fprintln(w)
		table := inColumns(w, "GIVEN A CHANCE OF\tTIMES\tCAME")
		for _, r := range s.Reliability {
			if r.Events > 0 {
				fmt.Fprintf(table, "%s to %s\t%d\t%d (%s)\n", figure.Percent(r.From), figure.Percent(r.To), r.Events, r.Came, figure.Percent(float64(r.Came)/float64(r.Events)))
			}
		}
		if err := table.Flush(); err != nil {
			return err
		}
		fmt.Fprintln(w)
		for _, c := range s.Cases {
			printWrapped(w, "  ", fmt.Sprintf("%s  %s (%s): %s.", c.On, c.Title, c.Task, say.ScoreCase(c)))
		}
	}
	fmt.Fprintln(w)
	printWrapped(w, "", say.ModelError(s.ModelError))
	return nil
}

// printTallies writes a line for each kind and each task.
func printTallies(w io.Writer, tallies []score.Tally) error {
	table := inColumns(w, "OF\tFOUND\tMORE\tINSIDE\tLESS\tWINDOWS\tSCORE\tFIXED INTERVAL")
	for _, t := range tallies {
		verdict := string(t.Verdict)
		if t.Verdict == score.TooFew {
			verdict = fmt.Sprintf("too few to tell (%d of %d)", t.Cases, score.CasesToTell)
		}
		ours, maker := "-", "-"
		if t.Maker != nil {
			ours, maker = figure.Fixed(*t.Ours, 2), figure.Fixed(*t.Maker, 2)
		}
		fmt.Fprintf(table, "%s\t%d\t%s\t%s\t%s\t%s\t%s\t%s\n", say.ScoreOf(t.Of), t.Cases, figure.Fixed(t.Sooner, 1), figure.Fixed(t.Inside, 1), figure.Fixed(t.Later, 1), verdict, ours, maker)
	}
	return table.Flush()
}

// shareScore writes a score without names, whole or not at all.
func shareScore(cmd *cobra.Command, f *day.Forecast, file string) error {
	shared := f.Share()
	if len(shared.Cases) == 0 && len(shared.Evidence) == 0 {
		return errors.New("there is nothing to share yet: nothing was found that a limit of the catalogue could be held against")
	}
	write := func(w io.Writer) error {
		encoder := json.NewEncoder(w)
		encoder.SetIndent("", " ")
		return encoder.Encode(shared)
	}
	if file == "-" {
		return write(cmd.OutOrStdout())
	}
	if err := replaceFile("--share", file, write); err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "Wrote %s: %s and %s with what had gathered by then. It names no place, no equipment and no day.\n",
		file, say.Count(len(shared.Cases), "scored forecast"), say.Count(len(shared.Evidence), "finding"))
	return nil
}

// mergeScores puts shared scores together.
func (a *app) mergeScores(cmd *cobra.Command, files []string, propose bool) error {
	if len(files) == 0 {
		return &record.FieldError{Field: "FILE", Want: "one shared score or more, as `limekeep score --share` writes them"}
	}
	var all []score.Shared
	for _, name := range files {
		shared, err := readScore(name)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, shared)
	}
	return a.printMerged(cmd, score.Merge(all), propose)
}

func readScore(name string) (score.Shared, error) {
	file, err := os.Open(name)
	if err != nil {
		return score.Shared{}, err
	}
	defer file.Close()
	return score.ReadShared(file)
}

// printMerged writes the score of many places.
func (a *app) printMerged(cmd *cobra.Command, m score.Merged, propose bool) error {
	if a.asJSON {
		return printJSON(cmd, m)
	}
	w := cmd.OutOrStdout()
	since := ""
	if m.Since != "" {
		since = ", the first since " + m.Since
	}
	fmt.Fprintf(w, "%s%s.\n", say.Count(m.Places, "place"), since)
	switch {
	case m.Twice == 1:
		fmt.Fprintln(w, "One file was the same as another, and is not counted again.")
	case m.Twice > 1:
		fmt.Fprintf(w, "%d files were the same as others, and are not counted again.\n", m.Twice)
	}
	fmt.Fprintln(w)
	if err := printTallies(w, m.Tallies); err != nil {
		return err
	}
	if !propose {
		return nil
	}
	fmt.Fprintln(w)
	if len(m.Proposals) == 0 {
		fmt.Fprintln(w, "Nothing was found that speaks of a limit.")
	}
	for _, p := range m.Proposals {
		printWrapped(w, "", say.Proposal(p))
	}
	return nil
}
