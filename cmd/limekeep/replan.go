package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"slices"
	"sync"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/sync/errgroup"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/store"
)

func newReplan(a *app) *cobra.Command {
	workers := runtime.NumCPU()
	cmd := &cobra.Command{
		Use:   "replan",
		Short: "Make the plans of all places anew, as a server does every night",
		Long: `Makes the plan of every place anew and lets it go out where it changed. Records on a PostgreSQL
server are worked at by as many processes as there are, "limekeep serve" among them: each place once
a day, tried again where it failed. "limekeep jobs" tells how far they are.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if workers < 1 || workers > 256 {
				return &record.FieldError{Field: "--workers", Value: fmt.Sprint(workers), Want: "1 to 256"}
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				if !m.Today.IsZero() {
					return &record.FieldError{Field: "--today", Want: "today itself: a plan that goes out is made on its day"}
				}
				n := &night{house: h, moment: m, workers: workers, out: cmd.OutOrStdout(), shown: newProgress(cmd.ErrOrStderr(), 0)}
				return n.all(ctx)
			})
		},
	}
	cmd.Flags().IntVar(&workers, "workers", workers, "how many places are worked at at a time")
	return cmd
}

// night makes the plans of all places anew.
type night struct {
	*house
	moment  schedule.Moment
	workers int // how many places are worked at at a time
	out     io.Writer
	shown   *progress
	mains   day.Mains // what is known of the waters of districts
}

// replan makes the plan of a place anew.
func (n *night) replan(ctx context.Context, place string) error {
	m := n.moment
	m.Place = place
	at := n.at(place, day.NewTurns(), "night")
	at.days.Nightly, at.days.Mains = true, &n.mains
	if n.workers > 1 {
		at.days.Workers = 1 // the other processors have other places
	}
	defer at.days.Rest()
	_, err := at.publisher.Publish(ctx, m)
	return err
}

// nightOrder lists all places, those of a water district beside each other: what its tests
// stand for is then read once for them.
func (h *house) nightOrder(ctx context.Context) ([]string, error) {
	places, err := h.db.Places(ctx)
	if err != nil {
		return nil, err
	}
	districts, err := h.db.Districts(ctx)
	if err != nil { // of a place that is damaged the night tells when it comes to it
		return places, context.Cause(ctx)
	}
	slices.SortStableFunc(places, func(a, b string) int { return cmp.Compare(districts[a], districts[b]) })
	return places, nil
}

// roomForNight is by how many hundredths memory may grow before what is left over is looked
// for: what one place leaves is small beside what a night may take (assumption).
const roomForNight = 300

// all works at all places.
func (n *night) all(ctx context.Context) error {
	defer debug.SetGCPercent(debug.SetGCPercent(roomForNight))
	if n.db.OnServer() {
		return n.byJobs(ctx)
	}
	return n.alone(ctx)
}

// alone works at all places without the jobs of a server, at each once.
func (n *night) alone(ctx context.Context) error {
	places, err := n.nightOrder(ctx)
	if err != nil {
		return err
	}
	var at sync.Mutex
	done, failed := 0, 0
	var last error
	var workers errgroup.Group
	workers.SetLimit(n.workers)
	for _, place := range places {
		workers.Go(func() error {
			if ctx.Err() != nil {
				return context.Cause(ctx)
			}
			err := n.replan(ctx, place)
			at.Lock()
			defer at.Unlock()
			switch {
			case err == nil:
				done++
			case ctx.Err() != nil:
				return err
			default:
				failed++
				last = fmt.Errorf("%s: %w", place, err)
			}
			n.shown.count(done, len(places), failed)
			return nil
		})
	}
	if err := workers.Wait(); err != nil {
		return err
	}
	n.shown.end()
	fmt.Fprintf(n.out, "planned anew: %d of %d places\n", done, len(places))
	return last
}

// jobsLook is how often it is looked whether all are done.
const jobsLook = 200 * time.Millisecond

// byJobs adds the places of tonight, and works at whatever is to be done until that is.
func (n *night) byJobs(ctx context.Context) error {
	jobs, err := n.db.Jobs(ctx, n.replan, n.workers)
	if err != nil {
		return err
	}
	defer func() { _ = jobs.Close(context.WithoutCancel(ctx)) }()
	places, err := n.nightOrder(ctx)
	if err != nil {
		return err
	}
	tonight := record.DateOf(n.days.Now())
	if _, err := jobs.Add(ctx, places, tonight); err != nil {
		return err
	}
	if err := jobs.Start(ctx); err != nil {
		return err
	}
	ticker := time.NewTicker(jobsLook)
	defer ticker.Stop()
	for {
		nights, err := jobs.Nights(ctx, 3)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(nights, func(of store.NightJobs) bool { return of.Night == tonight })
		if i < 0 {
			nights, i = []store.NightJobs{{Night: tonight}}, 0
		}
		of := nights[i]
		n.shown.count(of.Done, of.Done+of.GivenUp+of.Left(), of.Failed+of.GivenUp)
		if of.Left() == 0 {
			n.shown.end()
			fmt.Fprintf(n.out, "planned anew: %d of %d places, in %v since the first was added\n", of.Done, of.Done+of.GivenUp, of.Took.Round(100*time.Millisecond))
			if of.GivenUp > 0 {
				return fmt.Errorf("%d places could not be planned; \"limekeep jobs\" tells why", of.GivenUp)
			}
			return nil
		}
		select {
		case <-ctx.Done():
			return context.Cause(ctx)
		case <-ticker.C:
		}
	}
}

// count shows how many of some places are done, on a terminal.
func (p *progress) count(done, all, failed int) {
	const often = 250 * time.Millisecond
	if p.out == nil || time.Since(p.last) < often {
		return
	}
	p.last, p.shown = time.Now(), true
	fmt.Fprintf(p.out, "\rplanned: %d of %d, failed: %d  ", done, all, failed)
}

func newJobs(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "jobs",
		Short: "How far the plans of the night are, of records on a server",
		Long:  "Tells of the last nights how many places wait, are worked at, failed and are done, and how long it took.",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
				jobs, err := h.db.Jobs(ctx, nil, 0)
				if err != nil {
					return err
				}
				defer func() { _ = jobs.Close(context.WithoutCancel(ctx)) }()
				nights, err := jobs.Nights(ctx, 7)
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, nights)
				}
				if len(nights) == 0 {
					fmt.Fprintln(cmd.OutOrStdout(), "No night was planned yet: \"limekeep serve\" does at ten past three, \"limekeep replan\" at once.")
				}
				for _, n := range nights {
					fmt.Fprintf(cmd.OutOrStdout(), "%s: waiting %d, at work %d, failed and tried again %d, given up %d, done %d, in %v\n",
						n.Night, n.Waiting, n.Running, n.Failed, n.GivenUp, n.Done, n.Took.Round(time.Second))
					for _, f := range n.Faults {
						fmt.Fprintf(cmd.OutOrStdout(), "  %s, tried %d times: %s\n", f.Place, f.Tries, f.Why)
					}
				}
				return nil
			})
		},
	})
}

// startJobs works at the plans of the night while a server runs, where others may as well.
// The functions it returns add tonight's and end the work.
func (s *serving) startJobs(ctx context.Context) (add func() error, stop func(), err error) {
	n := &night{house: s.house, workers: 1}
	jobs, err := s.db.Jobs(ctx, n.replan, 1)
	if err != nil {
		return nil, nil, err
	}
	if err := jobs.Start(ctx); err != nil {
		return nil, nil, err
	}
	add = func() error {
		places, err := s.nightOrder(ctx)
		if err != nil {
			return err
		}
		_, err = jobs.Add(ctx, places, record.DateOf(time.Now().In(s.zone)))
		return err
	}
	return add, func() {
		patience, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownPatience)
		defer cancel()
		if err := jobs.Close(patience); err != nil {
			s.log.WarnContext(ctx, "a plan of the night was left to others", "error", err)
		}
	}, nil
}
