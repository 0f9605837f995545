package day_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// placeInfoRecords holds the entries of places, and of nothing else.
type placeInfoRecords struct {
	schedule.Records // what opening a day never asks for is not there
	entries          []record.Entry
}

func (r *placeInfoRecords) Places(context.Context) ([]string, error) {
	var ids []string
	for _, e := range r.entries {
		if p, ok := e.Body.(record.Place); ok {
			ids = append(ids, p.ID)
		}
	}
	return ids, nil
}

func (r *placeInfoRecords) Version(context.Context) (int64, error) { return int64(len(r.entries)), nil }

func (r *placeInfoRecords) Read(_ context.Context, place string, until record.Date) (*record.Book, error) {
	var entries []record.Entry
	for _, e := range r.entries {
		if e.Place == place {
			entries = append(entries, e)
		}
	}
	return record.NewBook(until, entries, nil), nil
}

func TestPlaceInfo(t *testing.T) {
	date := record.NewDate(2026, 3, 1)
	softener := record.Treatment{ID: "softener", Kind: record.Softener, RatedLitres: 500, RatedDegrees: 10}
	home := []record.Entry{
		{ID: 1, Place: "home", Effective: date, Body: record.Place{ID: "home", Name: "Küche", Zone: "Pacific/Auckland"}},
		{ID: 2, Place: "home", Effective: date, Body: record.Equipment{ID: "tap", Name: "Kitchen tap", Bought: date, Line: &record.WaterLine{Supply: record.Mains, Treatment: []record.Treatment{softener}}}},
		{ID: 3, Place: "home", Effective: date, Body: record.Equipment{ID: "can", Bought: date, Line: &record.WaterLine{Supply: record.Tank}}},
		{ID: 4, Place: "home", Effective: date, Body: record.Equipment{ID: "grinder", Bought: date, Grinder: &record.Grinder{}}},
		{ID: 6, Place: "home", Effective: date, Body: record.Equipment{ID: "sold", Bought: date, Grinder: &record.Grinder{}}},
		{ID: 7, Place: "home", Effective: date, Body: record.Retired{Equipment: "sold"}},
	}
	bar := record.Entry{ID: 5, Place: "bar", Effective: date, Body: record.Place{ID: "bar", Zone: "UTC"}}
	for _, c := range []struct {
		name    string
		entries []record.Entry
		moment  schedule.Moment
		want    day.PlaceInfo // without its zone
		zone    string
	}{
		{
			// Noon of 2 March in UTC is 3 March already in Auckland.
			name: "the only place, on its own clock", entries: home, zone: "Pacific/Auckland",
			want: day.PlaceInfo{Place: "home", Name: "Küche", Today: record.NewDate(2026, 3, 3), Lines: []day.LineInfo{
				{Line: "can", Name: "can", Supply: record.Tank},
				{Line: "tap", Name: "Kitchen tap", Supply: record.Mains, Treatment: []record.Treatment{softener}},
			}, Equipment: []day.EquipmentInfo{
				{Equipment: "can", Name: "can"}, {Equipment: "grinder", Name: "grinder"}, {Equipment: "tap", Name: "Kitchen tap"},
			}},
		},
		{
			name: "one of two, without a name or a line", entries: append(home, bar), moment: schedule.Moment{Place: "bar", Today: date}, zone: "UTC",
			want: day.PlaceInfo{Place: "bar", Name: "bar", Today: date, Lines: []day.LineInfo{}, Equipment: []day.EquipmentInfo{}},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			days := &day.Opener{
				Records: &placeInfoRecords{entries: c.entries}, Catalogue: &care.Catalogue{},
				Now: func() time.Time { return time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC) },
			}
			opened, err := days.Open(context.Background(), c.moment)
			if err != nil {
				t.Fatal(err)
			}
			got := opened.Info()
			if got.Zone.String() != c.zone {
				t.Errorf("its zone is %s, not %s", got.Zone, c.zone)
			}
			got.Zone = nil
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestPlaceInfoRefuses(t *testing.T) {
	home := record.Entry{ID: 1, Place: "home", Effective: 1, Body: record.Place{ID: "home", Zone: "UTC"}}
	bar := record.Entry{ID: 2, Place: "bar", Effective: 1, Body: record.Place{ID: "bar", Zone: "UTC"}}
	field := func(err error) bool { return errors.As(err, new(*record.FieldError)) }
	for _, c := range []struct {
		name    string
		entries []record.Entry
		moment  schedule.Moment
		is      func(error) bool
	}{
		{"nothing set up", nil, schedule.Moment{}, func(err error) bool { return errors.Is(err, schedule.ErrNoPlace) }},
		{"unknown place", []record.Entry{home}, schedule.Moment{Place: "attic"}, func(err error) bool { return errors.Is(err, record.ErrUnknown) }},
		{"which of two", []record.Entry{home, bar}, schedule.Moment{}, field},
	} {
		days := &day.Opener{Records: &placeInfoRecords{entries: c.entries}, Catalogue: &care.Catalogue{}, Now: time.Now}
		if _, err := days.Open(context.Background(), c.moment); err == nil || !c.is(err) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
