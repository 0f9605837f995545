package ical_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/ical"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// A calendar speaks of gallons, °F and grains where its owner does, and of the same things
// in litres and °C where not; an owner who changes that has every open entry sent anew.
func TestCalendarInTheOwnersUnits(t *testing.T) {
	contents := map[record.Units]map[string]string{}
	for _, units := range []record.Units{record.Metric, record.USCustomary} {
		setup := sample.Home()
		if setup.Place.Units = units; units == record.USCustomary {
			setup.Place.HardnessUnit = "gpg"
		}
		kitchen, _ := sample.SetUp(t, setup)
		kitchen.Worlds, kitchen.PlanEffort = 20, 2000
		a := sample.AgendaOf(t, kitchen, schedule.Moment{Today: record.NewDate(2026, time.March, 2)})
		contents[units] = map[string]string{}
		for _, e := range a.Sittings {
			contents[units][e.UID] = e.Content()
		}
		celsius, fahrenheit := strings.Contains(written(t, a), " °C"), strings.Contains(written(t, a), "104 °F")
		if us := units == record.USCustomary; celsius == us || fahrenheit != us {
			t.Errorf("%s: in °C %t, in °F %t", units, celsius, fahrenheit)
		}
		if left := regexp.MustCompile(`\d (litres?|mg/L CaCO3)\b|half a litre`).FindString(written(t, a)); left != "" && units == record.USCustomary {
			t.Errorf("it says %q", left)
		}
	}
	if len(contents[record.Metric]) == 0 {
		t.Fatal("no sitting")
	}
	for uid, content := range contents[record.Metric] {
		if contents[record.USCustomary][uid] == content {
			t.Errorf("%s has the same content in other units", uid)
		}
	}
}

// written is a calendar without the folds of its lines.
func written(t *testing.T, a agenda.Agenda) string {
	t.Helper()
	var out bytes.Buffer
	if err := ical.Encode(&out, a); err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(out.String(), "\r\n ", "")
}
