package say_test

import (
	"reflect"
	"strings"
	"testing"

	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// Every record with a note or an id of a task or equipment is told with its name and
// without its note: a new kind of record, or a new field, is seen here.
func TestNamed(t *testing.T) {
	for _, body := range []record.Body{
		record.Service{}, record.Pin{}, record.WaterTest{}, record.Measurement{}, record.UseBatch{}, record.Away{}, record.Guests{},
		record.HotHours{}, record.MeterReading{}, record.Bag{}, record.Retired{}, record.AppTask{}, record.Blocked{}, record.Void{}, record.Stock{}, record.BookedVisit{}, record.ServiceReport{},
	} {
		filled := reflect.New(reflect.TypeOf(body)).Elem()
		note := ""
		for i := range filled.NumField() {
			switch field := filled.Type().Field(i); field.Name {
			case "Note", "Why":
				note = "2.5 typed"
				filled.Field(i).SetString(note)
			case "Task", "Line", "Equipment", "Machine", "Grinder":
				filled.Field(i).SetString("the id")
			}
		}
		b := filled.Interface().(record.Body)
		if got := say.NoteOf(b); got != note {
			t.Errorf("%T: the note is %q, not %q", b, got, note)
		}
		says := say.Record(say.Named(b, func(id string) string { return strings.ToUpper(id) }))
		if strings.Contains(says, "the id") || strings.Contains(say.Record(b), "the id") != strings.Contains(says, "THE ID") {
			t.Errorf("%T is told as %q", b, says)
		}
		if note != "" && !strings.HasSuffix(says, " ("+note+")") {
			t.Errorf("%T: the note does not end %q", b, says)
		}
	}
}
