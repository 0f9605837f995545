package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// district is a water district with the places on it and what was tested.
type district struct {
	District string         `json:"district"`
	Places   []string       `json:"places"`
	Tests    []districtTest `json:"tests"` // the newest first
}

// districtTest is a test of its water.
type districtTest struct {
	Record int64       `json:"record"`
	On     record.Date `json:"on"`
	Says   string      `json:"says"`
}

func newWaterDistricts(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:     "districts",
		Short:   "List the water districts, the places on each, and what was tested",
		Long:    "Lists the water districts that places name, with the places on each and the tests that count for all\nof them. \"limekeep void\" takes a test back by its number.",
		Example: "  limekeep water districts",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				all, err := h.districts(ctx)
				if err != nil {
					return err
				}
				if a.asJSON {
					return printJSON(cmd, all)
				}
				printDistricts(cmd.OutOrStdout(), all)
				return nil
			})
		},
	})
}

// districts lists the water districts that places name, by id.
func (h *house) districts(ctx context.Context) ([]district, error) {
	places, err := h.days.Records.Places(ctx)
	if err != nil {
		return nil, err
	}
	all := []district{}
	for _, place := range places {
		book, err := h.days.Records.Read(ctx, place, schedule.EndOfTime)
		if err != nil {
			return nil, err
		}
		p, ok := book.Place()
		if !ok || p.District == "" {
			continue
		}
		i := slices.IndexFunc(all, func(d district) bool { return d.District == p.District })
		if i < 0 {
			i, all = len(all), append(all, district{District: p.District, Tests: []districtTest{}})
		}
		all[i].Places = append(all[i].Places, place)
	}
	slices.SortFunc(all, func(a, b district) int { return strings.Compare(a.District, b.District) })
	for i := range all {
		book, err := h.days.Records.Read(ctx, schedule.DistrictBook(all[i].District), schedule.EndOfTime)
		if err != nil {
			return nil, err
		}
		for _, e := range slices.Backward(book.Entries) {
			if e.Kind() == record.KindWaterTest {
				all[i].Tests = append(all[i].Tests, districtTest{Record: e.ID, On: e.Effective, Says: say.Record(e.Body)})
			}
		}
	}
	return all, nil
}

func printDistricts(w io.Writer, all []district) {
	if len(all) == 0 {
		fmt.Fprintln(w, "No place names a water district: water_district in its place file, or a column of \"limekeep fleet setup\".")
	}
	for _, d := range all {
		printWrapped(w, "", fmt.Sprintf("%s: %s on it: %s", d.District, say.Count(len(d.Places), "place"), listed(d.Places)))
		for _, t := range d.Tests {
			fmt.Fprintf(w, "  %s  record %d: %s\n", t.On, t.Record, t.Says)
		}
		if len(d.Tests) == 0 {
			fmt.Fprintf(w, "  never tested: \"limekeep water add --district %s\"\n", d.District)
		}
	}
}

// listed names the first of some places.
func listed(places []string) string {
	const most = 12
	text := strings.Join(places[:min(len(places), most)], ", ")
	if more := len(places) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// addDistrictTest writes the test of a district down, and says for which places it counts.
func (a *app) addDistrictTest(cmd *cobra.Command, on record.Date, test record.WaterTest) error {
	return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
		today := m.Today
		if today.IsZero() {
			today = record.DateOf(time.Now())
		}
		all, err := h.districts(ctx)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(all, func(d district) bool { return d.District == test.District })
		if i < 0 {
			known := make([]string, len(all))
			for k, d := range all {
				known[k] = d.District
			}
			return &record.UnknownError{What: "water district", Name: test.District, Known: known}
		}
		written, err := h.journal.AddDistrictTest(ctx, today, on, test)
		if err != nil {
			return err
		}
		if a.asJSON {
			return printJSON(cmd, written)
		}
		fmt.Fprintf(cmd.OutOrStdout(), "record %d, %s: %s\n", written.Record, written.On, written.What)
		printWrapped(cmd.OutOrStdout(), "", fmt.Sprintf("It counts for %s: %s. A test of a place's own outweighs it there.", say.Count(len(all[i].Places), "place"), listed(all[i].Places)))
		return nil
	})
}
