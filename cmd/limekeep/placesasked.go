package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// placesAsked returns the places that --place names: all of them for "all", those parted
// by commas, or none where it names one or is left out.
func (h *house) placesAsked(ctx context.Context, named string) ([]string, error) {
	if named != web.AllPlaces && !strings.Contains(named, ",") {
		return nil, nil
	}
	places, err := h.days.Records.Places(ctx)
	if err != nil {
		return nil, err
	}
	if len(places) == 0 {
		return nil, schedule.ErrNoPlace
	}
	if named == web.AllPlaces {
		return places, nil
	}
	var asked []string
	for part := range strings.SplitSeq(named, ",") {
		id := strings.TrimSpace(part)
		if !slices.Contains(places, id) {
			return nil, &record.UnknownError{What: "place", Name: id, Known: places}
		}
		if !slices.Contains(asked, id) {
			asked = append(asked, id)
		}
	}
	return asked, nil
}

// placeAnswer is the answer of one of several places.
type placeAnswer struct {
	Place  string          `json:"place"`
	Name   string          `json:"name"`
	Answer json.RawMessage `json:"answer"`
}

// foreseeEach works out the forecast of the place, or of each of several that --place
// names, for do to answer of. Of several each answer stands under the place's name, or in
// JSON beside it.
func (a *app) foreseeEach(cmd *cobra.Command, do func(*day.Forecast) error) error {
	return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
		asked, err := h.placesAsked(ctx, m.Place)
		if err != nil {
			return err
		}
		if asked == nil {
			return h.foresee(ctx, m, func(f *day.Forecast) error { return a.answerIn(cmd, f.Day.Place, func() error { return do(f) }) })
		}
		out := cmd.OutOrStdout()
		defer cmd.SetOut(out)
		answers := []placeAnswer{}
		for i, place := range asked {
			m.Place = place
			text := sheetFor(out)
			cmd.SetOut(text)
			name := place
			if err := h.foresee(ctx, m, func(f *day.Forecast) error {
				name = f.Day.Info().Name
				return a.answerIn(cmd, f.Day.Place, func() error { return do(f) })
			}); err != nil {
				return fmt.Errorf("%s: %w", place, err)
			}
			if a.asJSON {
				answers = append(answers, placeAnswer{place, name, json.RawMessage(bytes.TrimSpace(text.Bytes()))})
				continue
			}
			if i > 0 {
				fmt.Fprintln(out)
			}
			fmt.Fprintf(out, "%s  [%s]\n%s\n", name, place, strings.Repeat("=", len([]rune(name))))
			if _, err := out.Write(text.Bytes()); err != nil {
				return err
			}
		}
		if a.asJSON {
			cmd.SetOut(out)
			return printJSON(cmd, answers)
		}
		return nil
	})
}

// foresee works the forecast of a moment out.
func (h *house) foresee(ctx context.Context, m schedule.Moment, do func(*day.Forecast) error) error {
	d, err := h.days.Open(ctx, m)
	if err != nil {
		return err
	}
	f, err := d.Forecast(ctx)
	if err != nil {
		return err
	}
	return do(f)
}
