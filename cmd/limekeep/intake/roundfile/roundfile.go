// Package roundfile reads what somebody who looks after many places writes down of their
// rounds: when they work, how far it is from place to place, and when each lets them in.
package roundfile

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"limekeep/cmd/limekeep/intake/yamlfile"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
)

// file is the file as it is written.
type file struct {
	Who         string           `json:"who"`
	From        string           `json:"from"`
	Days        []string         `json:"days"`
	StopMinutes *float64         `json:"stop_minutes"`
	Licensed    bool             `json:"licensed"`
	Speed       *float64         `json:"speed_kmh"`
	Minutes     map[string]row   `json:"minutes"`
	Kilometres  map[string]row   `json:"kilometres"`
	Places      map[string]hours `json:"places"`
}

// row is how far it is from one point to others.
type row map[string]float64

// hours are when a place lets somebody in, and when its machines may be cold.
type hours struct {
	Open  []string `json:"open"`
	Quiet []string `json:"quiet"`
}

// kind is what a round file is.
func kind() yamlfile.Kind {
	return yamlfile.Kind{Name: "round file", Whole: "a round file as the README shows it", One: "a file is of one person's rounds", Of: reflect.TypeFor[file](), Most: 200_000}
}

// Read reads a file. All that is wrong with it is told at once, each mistake with its line.
func Read(in io.Reader) (round.Settings, error) {
	data, err := kind().Bounded(in)
	if err != nil {
		return round.Settings{}, err
	}
	root, err := kind().Parse(data)
	if err != nil {
		return round.Settings{}, err
	}
	p := kind().Reader()
	var f file
	if root != nil { // an empty one says nothing
		p.Read(root, &f)
	}
	s := f.settings(p)
	return s, p.Mistakes()
}

// settings returns what a file says, and notes what cannot be.
func (f *file) settings(p *yamlfile.Reader) round.Settings {
	s := round.Settings{Who: f.Who, From: f.From, Licensed: f.Licensed, Places: map[string]round.PlaceHours{}}
	refuse := func(field, value, want string) {
		p.Note(record.FieldError{Field: field, Value: value, Want: want})
	}
	if s.From == "" {
		s.From = "start"
	}
	if f.StopMinutes != nil {
		if s.Stop = *f.StopMinutes; !(s.Stop >= 1 && s.Stop <= 120) {
			refuse("stop_minutes", fmt.Sprint(s.Stop), "1 to 120 minutes")
		}
	}
	read := func(field string, texts []string) []round.Hours {
		var all []round.Hours
		for i, text := range texts {
			h, err := readHours(text)
			if err != nil {
				refuse(fmt.Sprintf("%s[%d]", field, i), text, err.Error())
			}
			all = append(all, h...)
		}
		return all
	}
	s.Days = read("days", f.Days)
	speed := float64(round.UsualSpeed)
	if f.Speed != nil {
		if speed = *f.Speed; !(speed >= 1 && speed <= 200) {
			refuse("speed_kmh", fmt.Sprint(speed), "1 to 200 kilometres an hour")
			speed = round.UsualSpeed
		}
	}
	for _, table := range []struct {
		field string
		rows  map[string]row
		each  float64 // minutes
	}{{"minutes", f.Minutes, 1}, {"kilometres", f.Kilometres, 60 / speed}} {
		for _, from := range slices.Sorted(maps.Keys(table.rows)) {
			row := table.rows[from]
			for _, to := range slices.Sorted(maps.Keys(row)) {
				figure := row[to]
				if !(figure >= 0 && figure <= 2000) {
					refuse(table.field+"."+from+"."+to, fmt.Sprint(figure), "0 to 2000")
					continue
				}
				s.Legs = append(s.Legs, round.Leg{From: from, To: to, Minutes: figure * table.each})
			}
		}
	}
	for _, id := range slices.Sorted(maps.Keys(f.Places)) {
		h := f.Places[id]
		s.Places[id] = round.PlaceHours{Open: read("places."+id+".open", h.Open), Quiet: read("places."+id+".quiet", h.Quiet)}
	}
	return s
}

// wantHours is how hours are written.
const wantHours = `days and hours such as "MON-FRI 08:00-17:00", "TUE,THU 14:00-17:30" or "07:00-18:00" for every day`

var weekdays = map[string]time.Weekday{"SUN": time.Sunday, "MON": time.Monday, "TUE": time.Tuesday, "WED": time.Wednesday, "THU": time.Thursday, "FRI": time.Friday, "SAT": time.Saturday}

// readHours reads days and hours.
func readHours(text string) ([]round.Hours, error) {
	bad := errors.New(wantHours)
	words := strings.Fields(strings.ToUpper(text))
	var days []time.Weekday
	switch len(words) {
	case 1:
		for d := time.Sunday; d <= time.Saturday; d++ {
			days = append(days, d)
		}
	case 2:
		for part := range strings.SplitSeq(words[0], ",") {
			first, last, ranged := strings.Cut(part, "-")
			from, ok := weekdays[first]
			if !ok {
				return nil, bad
			}
			to := from
			if ranged {
				if to, ok = weekdays[last]; !ok {
					return nil, bad
				}
			}
			for d := from; ; d = (d + 1) % 7 {
				days = append(days, d)
				if d == to {
					break
				}
			}
		}
	default:
		return nil, bad
	}
	begin, end, ok := strings.Cut(words[len(words)-1], "-")
	from, err1 := minutesOf(begin)
	to, err2 := minutesOf(end)
	if !ok || err1 != nil || err2 != nil || from >= to {
		return nil, bad
	}
	var all []round.Hours
	for _, d := range days {
		all = append(all, round.Hours{Weekday: d, Span: round.Span{From: from, To: to}})
	}
	return all, nil
}

// minutesOf reads a time of day, up to 24:00, as minutes after midnight.
func minutesOf(text string) (float64, error) {
	hour, minute, ok := strings.Cut(text, ":")
	h, err1 := strconv.ParseUint(hour, 10, 8)
	m, err2 := strconv.ParseUint(minute, 10, 8)
	if !ok || err1 != nil || err2 != nil || m > 59 || h > 24 || h == 24 && m > 0 {
		return 0, errors.New(wantHours)
	}
	return float64(60*h + m), nil
}
