package roundfile

import (
	"strings"
	"testing"
	"time"

	"limekeep/schedule/round"
)

const whole = `
who: Anna
from: workshop
days: ["MON-THU 08:00-17:00", "FRI 08:00-13:00"]
stop_minutes: 8
speed_kmh: 20
minutes: {workshop: {blue: 12}}
kilometres: {workshop: {red: 5}}
places:
  blue: {open: ["06:30-18:00"], quiet: ["SAT-MON 14:00-17:30"]}
`

func TestRoundFile(t *testing.T) {
	s, err := Read(strings.NewReader(whole))
	if err != nil {
		t.Fatal(err)
	}
	if s.Who != "Anna" || s.From != "workshop" || s.Stop != 8 || len(s.Days) != 5 || s.Days[4] != (round.Hours{Weekday: time.Friday, Span: round.Span{From: 480, To: 780}}) {
		t.Errorf("%+v", s)
	}
	legs := map[string]float64{}
	for _, l := range s.Legs {
		legs[l.To] = l.Minutes
	}
	if legs["blue"] != 12 || legs["red"] != 15 {
		t.Errorf("12 minutes to the blue one and 5 km at 20 km/h, 15 minutes, to the red one; not %v", legs)
	}
	blue := s.Places["blue"]
	if len(blue.Open) != 7 || len(blue.Quiet) != 3 || blue.Quiet[1].Weekday != time.Sunday {
		t.Errorf("%+v", blue)
	}
	if s, err := Read(strings.NewReader("")); err != nil || s.From != "start" {
		t.Errorf("an empty file: %+v, %v", s, err)
	}
}

func TestRoundFileSaysAllThatIsWrong(t *testing.T) {
	_, err := Read(strings.NewReader(`
days: ["MON-FRO 08:00-17:00", "MON 17:00-08:00", "MON 8-17", "MON 08:00-24:30"]
stop_minutes: 900
speed_kmh: .nan
minutes: {a: {b: -3}}
`))
	for _, part := range []string{"days[0]", "days[1]", "days[2]", "days[3]", "stop_minutes", "speed_kmh", "minutes.a.b"} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%q is not named: %v", part, err)
		}
	}
	if _, err := Read(strings.NewReader("days:\n  - MON 08:00-17:00\n  - MON 17:00-08:00\nminutes:\n  a:\n    b: -3\n")); err == nil || !strings.Contains(err.Error(), "line 3: days[1]") || !strings.Contains(err.Error(), "line 6: minutes.a.b") {
		t.Errorf("lines are not named: %v", err)
	}
	if _, err := Read(strings.NewReader("minutes:\n  a: {b: 1}\n  a: {c: 2}\n")); err == nil || !strings.Contains(err.Error(), "line 3: minutes.a") || !strings.Contains(err.Error(), "each name once") {
		t.Errorf("a name that stands twice: %v", err)
	}
	if _, err := Read(strings.NewReader("opens: 3")); err == nil || !strings.Contains(err.Error(), "opens") {
		t.Errorf("an unknown word: %v", err)
	}
}

func FuzzRoundFile(f *testing.F) {
	f.Add(whole)
	f.Add("days: [\"-\"]")
	f.Add("minutes: {a: {b: 1e308}}")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := Read(strings.NewReader(text))
		if err != nil {
			return
		}
		for _, h := range s.Days {
			if h.From >= h.To || h.To > 24*60 {
				t.Errorf("hours from %g to %g", h.From, h.To)
			}
		}
		for _, l := range s.Legs {
			if !(l.Minutes >= 0) {
				t.Errorf("a leg of %g minutes", l.Minutes)
			}
		}
	})
}
