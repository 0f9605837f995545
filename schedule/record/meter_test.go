package record_test

import (
	"errors"
	"testing"

	"limekeep/schedule/record"
)

func TestMeteredLitres(t *testing.T) {
	read := func(litres float64) record.MeterReading { return record.MeterReading{Line: "tap", Litres: litres} }
	renewed := record.MeterReading{Line: "tap", Litres: 5000, NewStart: pointer(3)}
	rolls := record.MeterReading{Line: "tap", Litres: 40, RollsOverLitres: 10_000}
	tests := []struct {
		name           string
		earlier, later record.MeterReading
		want           float64 // below 0 where they contradict
	}{
		{"it went on", read(100), read(140), 40},
		{"nothing was drawn", read(100), read(100), 0},
		{"a new meter in between", renewed, read(43), 40},
		{"it began again at nothing", read(9990), rolls, 50},
		{"it began again, as was known before", record.MeterReading{Line: "tap", Litres: 9990, RollsOverLitres: 10_000}, read(40), 50},
		{"it went back", read(100), read(99), -1},
		{"a new meter went back", renewed, read(2), -1},
		{"it holds less than it showed", read(20_000), rolls, -1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, err := record.MeteredLitres(test.earlier, test.later)
			var field *record.FieldError
			switch {
			case test.want < 0 && (!errors.As(err, &field) || field.Field != "litres"):
				t.Errorf("got %v, %v, want an error about litres", got, err)
			case test.want >= 0 && (err != nil || got != test.want):
				t.Errorf("got %v, %v, want %v", got, err, test.want)
			}
		})
	}
}
