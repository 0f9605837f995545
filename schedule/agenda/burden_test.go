package agenda_test

import (
	"context"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// upToDate is a home that was looked after lately: two boilers on hard mains water, or
// one with a tank that softened water fills. Invented.
func upToDate(tank bool) schedule.Setup {
	s := sample.Home()
	for i := range s.Equipment {
		e := &s.Equipment[i]
		e.Bought, e.LookedAfter = today-200, today-7
		if e.Line != nil {
			e.Line.Treatment = nil
			if tank {
				e.Line.Supply = record.Tank
				e.Line.Treatment = []record.Treatment{{ID: "filter", Kind: record.Softener, Fitted: today - 7, RatedLitres: 800, RatedDegrees: 10, Months: 12}}
			}
		}
		if e.Machine != nil && tank {
			e.Machine.Vessels = e.Machine.Vessels[:1]
			e.Machine.Pump = record.VibrationPump
		}
	}
	return s
}

// How much a calendar asks of somebody who is up to date: entries and alarms a month,
// over the year that is planned. The bars are the aims for the form of the calendar:
// at most five entries a month, and two with a tank and softened water.
func TestEntriesAMonth(t *testing.T) {
	for _, c := range []struct {
		name string
		tank bool
		most float64
	}{{"mains, hard, two boilers", false, 5}, {"tank, softened, one boiler", true, 2}} {
		d, _ := sample.SetUp(t, upToDate(c.tank))
		if _, err := d.Journal.AddWaterTest(context.Background(), d.Day(t, at), today-7, record.WaterTest{Line: "tap", Test: sample.DropTest(14, 11)}); err != nil {
			t.Fatal(err)
		}
		f := d.Forecast(t, at)
		entries, alarms, minutes := 0, 0, 0.0
		timed, whole := len(f.Day.Place.Reminders().TimedBefore()), len(f.Day.Place.Reminders().AllDayBefore())
		for _, s := range f.Sittings() {
			if s.Date() <= today+365 {
				entries, alarms, minutes = entries+1, alarms+timed, minutes+s.Elapsed()
			}
		}
		for _, v := range f.Appointments() {
			if v.CallBy <= today+365 {
				entries, alarms = entries+1, alarms+whole
			}
		}
		t.Logf("%s: %.1f entries and %.1f alarms a month, %.0f minutes of sittings", c.name, float64(entries)/12, float64(alarms)/12, minutes/12)
		if got := float64(entries) / 12; got > c.most {
			t.Errorf("%s: %.1f entries a month, want at most %v", c.name, got, c.most)
		}
	}
}

// Where one visit holds work of both sorts, each line says whom to ask.
func TestVisitTellsLicensedFromWorkshop(t *testing.T) {
	d, _ := sample.SetUp(t, sample.Bar())
	a := sample.AgendaOf(t, d, at)
	mixed := 0
	for _, v := range a.Visits {
		licensed, workshop := 0, 0
		for _, line := range v.Ask {
			switch {
			case strings.HasPrefix(line, "Licensed people: "):
				licensed++
			case strings.HasPrefix(line, "A workshop: "):
				workshop++
			}
		}
		if licensed+workshop == 0 {
			continue // all of one sort
		}
		mixed++
		if licensed == 0 || workshop == 0 || licensed+workshop != len(v.Ask) {
			t.Errorf("%s asks for %q", v.Summary, v.Ask)
		}
	}
	if mixed == 0 {
		t.Error("no visit holds work of both sorts")
	}
}
