package main

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/ical"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
	"limekeep/water"
)

//go:embed demoplace.yaml
var demoPlace []byte

func newDemo(a *app) *cobra.Command {
	var once bool
	var out string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "A kitchen with a year of records, in scratch records of its own",
		Long: `Sets up an invented kitchen with a year of invented records in scratch records of its own, works
everything out from them, prints what is due and why, writes the calendar and serves it until
stopped. Your own records are not touched.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			ctx := cmd.Context()
			folder, err := os.MkdirTemp("", "limekeep-demo-")
			if err != nil {
				return fmt.Errorf("there is no scratch folder: %w", err)
			}
			defer os.RemoveAll(folder)
			h, err := a.openFile(ctx, filepath.Join(folder, "records.db"), "demo")
			if err != nil {
				return err
			}
			defer h.db.Close()
			h.days.Busy = nil // an invented kitchen knows nothing of your engagements
			m, err := a.moment()
			if err != nil {
				return err
			}
			m.Place = ""
			if m, err = fillDemo(ctx, h, m); err != nil {
				return err
			}
			if err := showDemo(ctx, cmd.OutOrStdout(), h, m, out); err != nil {
				return err
			}
			if once {
				return nil
			}
			h.from("page")
			listener, err := listen(ctx, preferredAddress, false)
			if err != nil {
				return err
			}
			fmt.Fprintln(cmd.OutOrStdout())
			log, err := newLog(cmd.ErrOrStderr(), "warn", "text")
			if err != nil {
				return err
			}
			s, err := a.servingOn(ctx, h, m, listener, log)
			if err != nil {
				return errors.Join(err, listener.Close())
			}
			s.out = cmd.OutOrStdout()
			return s.run(ctx)
		},
	}
	cmd.Flags().BoolVar(&once, "once", false, "stop after writing the calendar")
	cmd.Flags().StringVar(&out, "out", "limekeep-demo.ics", "calendar file to write")
	return cmd
}

// showDemo prints what is due and why, and writes the calendar.
func showDemo(ctx context.Context, w io.Writer, h *house, m schedule.Moment, out string) error {
	d, err := h.days.Open(ctx, m)
	if err != nil {
		return err
	}
	f, err := d.Forecast(ctx)
	if err != nil {
		return err
	}
	dues := f.Due()
	fmt.Fprintf(w, "An invented kitchen, a year of invented records, as of %s.\n\n", m.Today.Long())
	if err := printDues(w, dues, m.Today); err != nil {
		return err
	}
	for _, d := range dues {
		fmt.Fprintf(w, "\n%s, %s: %s\n", d.Title, d.Name, likelyText(d, m.Today))
		for _, s := range d.Why {
			printWrapped(w, "  - ", s)
		}
	}
	agenda := agenda.Of(f, h.publisher.Routine)
	if err := writeCalendar(out, agenda); err != nil {
		return err
	}
	fmt.Fprintf(w, "\ncalendar written: %s, %d entries\n", out, ical.Count(agenda))
	return nil
}

// fillDemo writes the demo's year down, each record on its own day.
func fillDemo(ctx context.Context, h *house, m schedule.Moment) (schedule.Moment, error) {
	setup, err := placefile.Read(bytes.NewReader(demoPlace))
	if err != nil {
		return m, err
	}
	if m.Today.IsZero() {
		zone, err := setup.Place.Location()
		if err != nil {
			return m, err
		}
		m.Today = record.DateOf(h.days.Now().In(zone))
	}
	// The kitchen was fitted out five years before the day the demo is looked
	// at, whichever day that is. Its log starts a year before it; until then the
	// habit stands in.
	bought := m.Today.AddMonths(-60)
	for i := range setup.Equipment {
		setup.Equipment[i].Bought, setup.Equipment[i].RecordsFrom = bought, bought
		setup.Equipment[i].LookedAfter = m.Today - 61 // a thorough day two months ago
	}
	if _, err := h.journal.SetUp(ctx, m.Today, setup); err != nil {
		return m, err
	}
	m.Place = setup.Place.ID
	d, err := h.days.Open(ctx, m)
	if err != nil {
		return m, err
	}
	if err := demoWater(ctx, h.journal, d); err != nil {
		return m, err
	}
	if err := demoServices(ctx, h.journal, d); err != nil {
		return m, err
	}
	first := m.Today.AddMonths(-12)
	if _, err = h.journal.ImportUse(ctx, d, schedule.UseFile{Machine: "machine", Name: "a-year-of-shots.csv"}, demoShots(first, m.Today-1)); err != nil {
		return m, err
	}
	if err := demoChecks(ctx, h.journal, d); err != nil {
		return m, err
	}
	if d, err = h.days.Open(ctx, m); err != nil {
		return m, err
	}
	return m, demoCare(ctx, h.journal, d)
}

// demoWater writes three tests of the tap down: a careful one, and two quick
// ones after it.
func demoWater(ctx context.Context, j *journal.Journal, d *day.Day) error {
	value := func(q water.Quantity, x float64, u water.Unit, by water.Method) water.Measured {
		return water.Measured{Quantity: q, Value: x, Unit: u, Method: by}
	}
	for _, t := range []struct {
		daysAgo record.Date
		values  []water.Measured
	}{
		{1790, []water.Measured{
			value(water.Hardness, 13, water.GermanDegree, water.MethodDrop),
			value(water.Alkalinity, 10, water.GermanDegree, water.MethodDrop),
			value(water.PH, 7.5, water.PHUnit, water.MethodMeter),
			value(water.Conductivity, 470, water.MicrosiemensPerCm, water.MethodMeter),
		}},
		{371, []water.Measured{
			value(water.Hardness, 14, water.GermanDegree, water.MethodDrop),
			value(water.Alkalinity, 10, water.GermanDegree, water.MethodDrop),
		}},
		{54, []water.Measured{
			value(water.Hardness, 14, water.GermanDegree, water.MethodDrop),
			value(water.Alkalinity, 11, water.GermanDegree, water.MethodDrop),
			value(water.PH, 7.6, water.PHUnit, water.MethodMeter),
		}},
	} {
		test := record.WaterTest{Line: "tap", Test: water.Test{Values: t.values}}
		if _, err := j.AddWaterTest(ctx, d, d.Today-t.daysAgo, test); err != nil {
			return err
		}
	}
	return nil
}

// demoServices writes the year's services down.
func demoServices(ctx context.Context, j *journal.Journal, d *day.Day) error {
	for _, s := range []struct {
		daysAgo record.Date
		service record.Service
	}{
		{1430, record.Service{Task: "tap/cartridge/filter"}},
		{1102, record.Service{Task: "machine/group-gasket/group", Finding: record.Worn}},
		{655, record.Service{Task: "machine/descale/brew", Finding: record.Film, Grams: 2.2}},
		{398, record.Service{Task: "machine/group-gasket/group", Finding: record.Fresh}},
		{1090, record.Service{Task: "machine/descale/steam", Finding: record.Film, Grams: 2.9}},
		{1090, record.Service{Task: "machine/descale/brew", Finding: record.Film}},
		{1070, record.Service{Task: "tap/cartridge/filter"}},
		{702, record.Service{Task: "tap/cartridge/filter", Finding: record.Worn}},
		{371, record.Service{Task: "tap/cartridge/filter"}},
		{330, record.Service{Task: "machine/backflush-detergent/group"}},
		{290, record.Service{Task: "machine/backflush-detergent/group", Finding: record.Worn}},
		{260, record.Service{Task: "hand-grinder/burr-cleaning"}},
		{230, record.Service{Task: "machine/soak-screen/group", Finding: record.Worn}},
		{212, record.Service{Task: "machine/descale/steam", Finding: record.Film, Grams: 3.4, Note: "citric acid, three baths"}},
		{150, record.Service{Task: "machine/backflush-detergent/group"}},
		{120, record.Service{Task: "hand-grinder/burr-cleaning"}},
		{61, record.Service{Task: "machine/soak-screen/group", Finding: record.Worn}},
		{46, record.Service{Task: "machine/soak-screen/group", Finding: record.Fresh}},
		{40, record.Service{Task: "tap/cartridge/filter"}},
		{33, record.Service{Task: "machine/steam-refresh/steam"}},
		{22, record.Service{Task: "machine/backflush-detergent/group", Finding: record.Worn}},
		{18, record.Service{Task: "hand-grinder/burr-cleaning"}},
		{11, record.Service{Task: "machine/soak-screen/group", Finding: record.Worn}},
		{3, record.Service{Task: "machine/backflush-water/group"}},
	} {
		if _, err := j.Done(ctx, d, d.Today-s.daysAgo, s.service); err != nil {
			return fmt.Errorf("%s: %w", s.service.Task, err)
		}
	}
	return nil
}

// demoShots invents a log: mornings, some afternoons, more at weekends, a
// fortnight away in the middle. The pattern is plain arithmetic, so that the
// demo shows the same on the same day.
func demoShots(first, last record.Date) iter.Seq2[record.UseRow, error] {
	return func(yield func(record.UseRow, error) bool) {
		for day := first; day <= last; day++ {
			n := int(day - first)
			if n >= 240 && n < 254 {
				continue
			}
			shots := 3 + (n*7+n/5)%3
			if day.Weekend() {
				shots = 6 + (n*5+n/3)%4
			}
			for i := range shots {
				row := record.UseRow{
					Date: day, Minute: 7*60 + 20 + i*47 + (n*11+i*5)%17, Shots: 1,
					DoseGrams: 18 + float64((n+i)%3-1)*0.2, YieldGrams: 37 + float64((n*3+i)%5)*0.5, Seconds: 28 + float64((n+2*i)%5),
				}
				if (n+i)%5 < 2 {
					row.Steamed = 1
				}
				if i == 0 {
					row.HotWaterLitres = 0.2
				}
				if !yield(row, nil) {
					return
				}
			}
		}
	}
}
