package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/roundfile"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
	"limekeep/schedule/say"
	"limekeep/water/figure"
)

func newRound(a *app) *cobra.Command {
	var weeks int
	var from string
	cmd := a.answers(&cobra.Command{
		Use:   "round",
		Short: "Where to go on which day, for whoever looks after many places",
		Long: `Plans a week, or some, over all places or those that --place names: which place on which day, in
which order, from when to when, what is done there, what to load each day and what to order. It
weighs the harm of lateness against the minutes on the road. --round names a file that says when
you work, how far it is from place to place, when each lets you in and when its machines may be
cold; the README shows one. Without it you work Monday to Friday from 8 to 17, and it is 15
minutes from anywhere to anywhere.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				planned, err := a.planRound(ctx, h, m, from, weeks)
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, planned)
				}
				printRound(cmd.OutOrStdout(), planned)
				return nil
			})
		},
	})
	cmd.Flags().IntVar(&weeks, "weeks", 1, "how many weeks, 1 to 4")
	cmd.Flags().StringVar(&from, "from", "", "first day (default: today where it is Monday, else next Monday)")
	cmd.AddCommand(newRoundBook(a), newRoundCalendar(a))
	return cmd
}

// planRound plans the round that is asked for, from the places' forecasts.
func (a *app) planRound(ctx context.Context, h *house, m schedule.Moment, from string, weeks int) (round.Round, error) {
	settings, err := a.roundSettings()
	if err != nil {
		return round.Round{}, err
	}
	asked, err := h.roundPlaces(ctx, m.Place)
	if err != nil {
		return round.Round{}, err
	}
	if err := settings.Check(asked, weeks); err != nil { // before what takes long
		return round.Round{}, err
	}
	var first record.Date
	if from != "" {
		if first, err = record.ParseDate(from); err != nil {
			return round.Round{}, rename(err, "--from")
		}
	}
	var outlooks []day.Outlook
	for _, place := range asked {
		m.Place = place
		if err := h.foresee(ctx, m, func(f *day.Forecast) error {
			outlooks = append(outlooks, f.Outlook())
			return nil
		}); err != nil {
			return round.Round{}, fmt.Errorf("%s: %w", place, err)
		}
	}
	if from == "" {
		first = round.NextMonday(outlooks[0].Today)
	}
	van, err := h.van(ctx, outlooks)
	if err != nil {
		return round.Round{}, err
	}
	return settings.Plan(ctx, outlooks, first, weeks, van)
}

// roundSettings reads the file of the rounds; none is as good as an empty one.
func (a *app) roundSettings() (round.Settings, error) {
	path := a.settings.GetString("round")
	if path == "" {
		return roundfile.Read(strings.NewReader(""))
	}
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return round.Settings{}, &record.FieldError{Field: "--round", Value: path, Want: "a file that is there"}
	}
	if err != nil {
		return round.Settings{}, err
	}
	defer f.Close()
	s, err := roundfile.Read(f)
	if err != nil {
		return s, fmt.Errorf("%s: %w", path, err)
	}
	return s, nil
}

// roundPlaces returns the places of a round: all unless some are named.
func (h *house) roundPlaces(ctx context.Context, named string) ([]string, error) {
	asked, err := h.placesAsked(ctx, named)
	if err != nil || asked != nil {
		return asked, err
	}
	places, err := h.days.Records.Places(ctx)
	switch {
	case err != nil:
		return nil, err
	case len(places) == 0:
		return nil, schedule.ErrNoPlace
	case named == "":
		return places, nil
	case !slices.Contains(places, named):
		return nil, &record.UnknownError{What: "place", Name: named, Known: places}
	}
	return []string{named}, nil
}

// van reads what is in the van.
func (h *house) van(ctx context.Context, outlooks []day.Outlook) (round.Van, error) {
	book, err := h.days.Records.Read(ctx, round.VanPlace, schedule.EndOfTime)
	if err != nil {
		return round.Van{}, err
	}
	var items []string
	var used []day.PartUse
	for _, o := range outlooks {
		used = append(used, o.Used...)
		for _, s := range o.Stock {
			if !slices.Contains(items, s.Item) {
				items = append(items, s.Item)
			}
		}
	}
	return round.VanOf(book, items, used), nil
}

// printRound writes a round, day by day, then what to load and to order.
func printRound(w io.Writer, r round.Round) {
	who := ""
	if r.Who != "" {
		who = " of " + r.Who
	}
	fmt.Fprintf(w, "Round%s from %s to %s: %.0f minutes at places, %.0f on the road.\n", who, r.First.Long(), r.Last.Long(), r.Work, r.Road)
	for _, missed := range r.Missed {
		fmt.Fprintf(w, "MISSED: %s [%s], booked for %s (record %d)\n", missed.Name, missed.Place, missed.Visit.On.Long(), missed.Visit.Record)
	}
	if len(r.Days) == 0 {
		fmt.Fprintln(w, "Nothing needs a visit.")
	}
	for _, d := range r.Days {
		fmt.Fprintf(w, "\n%s: leave %s, back %s, %.0f minutes on the road\n", d.On.Long(), d.Leave, d.Back, d.Road)
		for _, v := range d.Visits {
			off := ""
			if v.Off != "" {
				off = "; machine off by " + v.Off
			}
			if v.Unsaid {
				off += "; nobody said when its machine may be cold"
			}
			if v.Booked != 0 {
				off += fmt.Sprintf("; booked, record %d", v.Booked)
			}
			fmt.Fprintf(w, "  %s to %s  %s [%s], work from %s%s\n", v.Arrive, v.Leave, v.Name, v.Place, v.Work, off)
			for _, j := range v.Jobs {
				counted := ""
				if j.Counted != "" {
					counted = ", counts with “" + j.Counted + "”"
				}
				fmt.Fprintf(w, "    - %s  [%s]%s\n", say.OfTask(j.Title, j.Name), j.Task, counted)
			}
		}
	}
	if len(r.Load.Items) > 0 {
		fmt.Fprintln(w, "\nTo load, for the whole round:")
		for _, item := range r.Load.Items {
			more := ""
			switch {
			case item.Short > 0 && item.Late:
				more = fmt.Sprintf("; %s short, and an order placed today comes too late", figure.Exact(item.Short))
			case item.Short > 0:
				more = fmt.Sprintf("; %s short, order by %s", figure.Exact(item.Short), item.OrderBy.Long())
			case !item.Counted:
				more = "; never counted in the van"
			}
			printWrapped(w, "  - ", fmt.Sprintf("%s × %s, first on %s%s", figure.Exact(item.Needed), item.Item, item.First.Long(), more))
		}
		for _, k := range r.Load.Kits {
			if len(k.Items) == 0 {
				continue
			}
			var parts []string
			for _, item := range k.Items {
				parts = append(parts, fmt.Sprintf("%s × %s (%s)", figure.Exact(item.Needed), item.Item, strings.Join(item.Places, ", ")))
			}
			printWrapped(w, "  "+k.On.String()+": ", strings.Join(parts, "; "))
		}
	}
	if len(r.Left) > 0 {
		fmt.Fprintln(w, "\nNot this time:")
		for _, l := range r.Left {
			printWrapped(w, "  - ", fmt.Sprintf("%s [%s]: %s", l.Name, l.Place, l.Says))
		}
	}
}
