package journal_test

import (
	"strings"
	"testing"

	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// A reading that no pipe could have let through since the one before is mistyped.
func TestMeterReadingsThatNoPipeGivesAreRefused(t *testing.T) {
	d, records := sample.SetUp(t, sample.Home())
	if _, err := d.Journal.AddMeterReading(t.Context(), d.Day(t, at), today-10, record.MeterReading{Litres: 10_432}); err != nil {
		t.Fatal(err)
	}
	before := records.Count()
	_, err := d.Journal.AddMeterReading(t.Context(), d.Day(t, at), today, record.MeterReading{Litres: 104_350_000})
	sample.Refused(t, err, "litres", records, before)
	if !strings.Contains(err.Error(), `"104350000"`) {
		t.Errorf("it does not name the reading as it was typed: %v", err)
	}
	if _, err := d.Journal.AddMeterReading(t.Context(), d.Day(t, at), today, record.MeterReading{Litres: 110_432}); err != nil {
		t.Errorf("ten thousand litres a day, a hose that burst, are refused: %v", err)
	}
}
