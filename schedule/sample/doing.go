package sample

import (
	"context"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water"
)

// usualReadings are what condition checks read of parts in order.
var usualReadings = map[record.MeasurementKind]record.Measurement{
	record.Flow:            {Grams: 180, Seconds: 20},
	record.PumpPressure:    {Bar: 9},
	record.BrewTemperature: {Celsius: 92},
	record.WarmUpTime:      {Minutes: 8, FromCelsius: 20},
	record.ShotTime:        {Seconds: 28, Setting: 14, DoseGrams: 18, YieldGrams: 38},
	record.ReferenceMass:   {ShownGrams: 100, MassGrams: 100},
}

// DoTask writes down on a day that a task was done, and that what was measured was as it
// usually is.
func (k *Kitchen) DoTask(t testing.TB, d *day.Day, task string) {
	t.Helper()
	duty, err := d.Duty(task)
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	switch todo := day.ToDo(duty); todo.Verb {
	case schedule.Measure:
		reading := usualReadings[todo.Kind]
		reading.Kind, reading.Equipment, reading.Part = todo.Kind, duty.Equipment.ID, duty.Part
		_, err = k.Journal.Measure(ctx, d, d.Today, reading)
	case schedule.AddWaterTest:
		test := DropTest(14, 11)
		if todo.After != "" {
			test = water.Test{Values: []water.Measured{{Quantity: water.Hardness, Value: 4, Unit: water.GermanDegree, Method: water.MethodDrop}}}
		}
		_, err = k.Journal.AddWaterTest(ctx, d, d.Today, record.WaterTest{Line: duty.Equipment.ID, After: todo.After, Test: test})
	default:
		_, err = k.Journal.Done(ctx, d, d.Today, record.Service{Task: task})
	}
	if err != nil {
		t.Fatal(err)
	}
}
