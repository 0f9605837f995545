package record

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What is written down for the plan is kept as it was said, or refused with the
// field named.
func TestPlanRecords(t *testing.T) {
	three, nan := 3.0, 0.0
	nan /= nan
	day := NewDate(2028, 2, 29)
	for _, c := range []struct {
		name string
		body Body
		bad  string // field, empty for none
	}{
		{"a day", Pin{Task: "m/a", Served: 7, On: day}, ""},
		{"after a day", Pin{Task: "m/a", After: day}, ""},
		{"free again", Pin{Task: "m/a", Free: true}, ""},
		{"no task", Pin{On: day}, "task"},
		{"nothing said", Pin{Task: "m/a"}, "pin"},
		{"two things said", Pin{Task: "m/a", On: day, Free: true}, "pin"},
		{"one day", Blocked{From: day, To: day, Note: "away"}, ""},
		{"no day", Blocked{}, "from"},
		{"days out of order", Blocked{From: day, To: day - 1}, "to"},
		{"a slip of the century", Blocked{From: day, To: day + 36500}, "to"},
		{"counted", Stock{Item: "acid", Count: &three}, ""},
		{"came", Stock{Item: "acid", Came: 3}, ""},
		{"lead time", Stock{Item: "acid", LeadDays: &three}, ""},
		{"no item", Stock{Count: &three}, "item"},
		{"two at once", Stock{Item: "acid", Count: &three, LeadDays: &three}, "stock"},
		{"nothing", Stock{Item: "acid"}, "stock"},
		{"fewer came than none", Stock{Item: "acid", Came: -1}, "count"},
		{"no number", Stock{Item: "acid", Count: &nan}, "count"},
	} {
		err := c.body.Validate()
		if c.bad != "" {
			var field *FieldError
			if !errors.As(err, &field) || !strings.HasSuffix(field.Field, c.bad) {
				t.Errorf("%s: error %v, want one about %s", c.name, err, c.bad)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		kind, data, err := Encode(c.body)
		if err != nil {
			t.Fatal(err)
		}
		back, err := Decode(kind, data)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(c.body, back); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
	}
}

// The last pin of a task counts, until the task is done or it is set free.
func TestPinHoldsUntilDone(t *testing.T) {
	day := NewDate(2026, 3, 2)
	book := NewBook(day+9, []Entry{
		{ID: 1, Effective: day, Body: Pin{Task: "m/a", Served: 0, On: day + 20}},
		{ID: 2, Effective: day, Body: Pin{Task: "m/a", Served: 0, On: day + 30}},
		{ID: 3, Effective: day, Body: Pin{Task: "m/b", Served: 4, On: day + 30}},
		{ID: 5, Effective: day + 1, Body: Pin{Task: "m/b", Served: 4, Free: true}},
	}, nil)
	if pin, ok := book.Pin("m/a", 0); !ok || pin.On != day+30 {
		t.Errorf("%+v, %v, want the last pin", pin, ok)
	}
	if _, ok := book.Pin("m/a", 6); ok {
		t.Error("a pin holds after the task was done")
	}
	if _, ok := book.Pin("m/b", 4); ok {
		t.Error("a pin holds that was taken back")
	}
}
