package record_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

// What people write down about use beside the drinks themselves: each is kept
// under a name that stands in files and must never change, and comes back as it
// was.
func TestUseBodiesComeBack(t *testing.T) {
	for kind, body := range map[record.Kind]record.Body{
		"away":          record.Away{Machine: "machine", From: 10, To: 20, Frost: true, Note: "n"},
		"guests":        record.Guests{From: 10, To: 20, Shots: 7.5},
		"meter reading": record.MeterReading{Line: "tap", Litres: 99_432.5, NewStart: new(0.), RollsOverLitres: 1e5},
		"bag":           record.Bag{Grinder: "grinder", Grams: 250, Opened: 9, Beans: "咖啡"},
	} {
		if err := body.Validate(); err != nil {
			t.Errorf("%s: %v", kind, err)
		}
		as, data, err := record.Encode(body)
		if err != nil || as != kind {
			t.Errorf("%s is kept as %s, %v", kind, as, err)
		}
		back, err := record.Decode(as, data)
		if diff := cmp.Diff(body, back); diff != "" || err != nil {
			t.Errorf("%s came back changed, %v:\n%s", kind, err, diff)
		}
	}
	open := record.Away{From: 10}
	if _, data, _ := record.Encode(open); string(data) != `{"from":"0001-01-10"}` {
		t.Errorf("an open period is kept as %s", data)
	}
}

// Each row changes one thing of a good record and says which field is then
// named; none where it stays good.
func TestUseBodiesAreChecked(t *testing.T) {
	away, guests := record.Away{From: 10, To: 20}, record.Guests{From: 10, To: 20, Shots: 3}
	reading, bag := record.MeterReading{Line: "tap", Litres: 100}, record.Bag{Grinder: "grinder", Grams: 250}
	for _, test := range []struct {
		name  string
		body  record.Body
		field string
	}{
		{"away", away, ""},
		{"away for a day", record.Away{From: 10, To: 10}, ""},
		{"away until further notice", record.Away{From: 10}, ""},
		{"away from no day", record.Away{To: 20}, "from"},
		{"away backwards", record.Away{From: 20, To: 10}, "to"},
		{"away of no machine's name", record.Away{Machine: "My Machine", From: 10}, "machine"},
		{"guests", guests, ""},
		{"guests for ever", record.Guests{From: 10, Shots: 3}, "to"},
		{"guests who drink nothing", record.Guests{From: 10, To: 20}, "shots"},
		{"guests who give back", record.Guests{From: 10, To: 20, Shots: -1}, "shots"},
		{"reading", reading, ""},
		{"reading of no line", record.MeterReading{Litres: 1}, "line"},
		{"reading below nothing", record.MeterReading{Line: "tap", Litres: -1}, "litres"},
		{"reading above what the meter holds", record.MeterReading{Line: "tap", Litres: 100, RollsOverLitres: 100}, "litres"},
		{"new meter below nothing", record.MeterReading{Line: "tap", NewStart: new(-1.)}, "new_start"},
		{"bag", bag, ""},
		{"bag of nothing", record.Bag{Grinder: "grinder"}, "grams"},
		{"bag of a lorry", record.Bag{Grinder: "grinder", Grams: 30_001}, "grams"},
		{"bag for no grinder", record.Bag{Grams: 250}, "grinder"},
	} {
		err := test.body.Validate()
		var wrong *record.FieldError
		if test.field == "" && err != nil || test.field != "" && (!errors.As(err, &wrong) || wrong.Field != test.field) {
			t.Errorf("%s: %v, want one about %q", test.name, err, test.field)
		}
	}
}

func TestHabitsAreChecked(t *testing.T) {
	for _, test := range []struct {
		name  string
		habit record.Habit
		field string
	}{
		{"nothing said", record.Habit{}, ""},
		{"no flush at all", record.Habit{FlushBeforeGrams: new(0.), FlushAfterGrams: new(0.)}, ""},
		{"a flush of litres", record.Habit{FlushBeforeGrams: new(501.)}, "flush_before_grams"},
		{"a puck that gives water", record.Habit{PuckGramsPerGram: new(-0.1)}, "puck_grams_per_gram"},
		{"steam below nothing", record.Habit{SteamGrams: new(-1.)}, "steam_grams"},
		{"milk said twice", record.Habit{SteamedShare: new(0.5), SteamedShots: 2}, "steamed_shots"},
		{"hours said twice", record.Habit{HotHours: 3, HotTimer: []record.Timer{{On: "0 6 * * *", Off: "0 9 * * *"}}}, "hot_hours"},
		{"a timer", record.Habit{HotTimer: []record.Timer{{On: "30 6 * * MON-FRI", Off: "0 9 * * MON-FRI"}}}, ""},
		{"a timer that never goes off", record.Habit{HotTimer: []record.Timer{{On: "0 6 * * *"}}}, "hot_timer[0].off"},
		{"a timer with seconds", record.Habit{HotTimer: []record.Timer{{On: "0 0 6 * * *", Off: "0 9 * * *"}}}, "hot_timer[0].on"},
		{"a timer every so often", record.Habit{HotTimer: []record.Timer{{On: "@every 1h", Off: "0 9 * * *"}}}, "hot_timer[0].on"},
		{"a drink", record.Habit{Drinks: []record.Drink{{Name: "Verlängerter", HotWaterLitres: 0.06}}}, ""},
		{"a drink without a name", record.Habit{Drinks: []record.Drink{{Name: " "}}}, "drinks[0].name"},
		{"a drink twice", record.Habit{Drinks: []record.Drink{{Name: "latte"}, {Name: "Latte"}}}, "drinks[1].name"},
		{"a drink of a bucket", record.Habit{Drinks: []record.Drink{{Name: "bucket", HotWaterLitres: 2.1}}}, "drinks[0].hot_water_litres"},
	} {
		err := test.habit.Validate()
		var wrong *record.FieldError
		if test.field == "" && err != nil || test.field != "" && (!errors.As(err, &wrong) || wrong.Field != test.field) {
			t.Errorf("%s: %v, want one about %q", test.name, err, test.field)
		}
	}
}
