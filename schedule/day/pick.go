package day

import (
	"fmt"

	"limekeep/schedule/record"
)

// Pick finds a piece of equipment of a sort, or the only one of it.
func Pick(book *record.Book, id, sort string, is func(record.Equipment) bool) (record.Equipment, error) {
	var all []record.Equipment
	var ids []string
	for _, e := range book.Equipment() {
		if is(e) {
			all = append(all, e)
			ids = append(ids, e.ID)
		}
	}
	for _, e := range all {
		if e.ID == id || id == "" && len(all) == 1 {
			return e, nil
		}
	}
	if len(all) == 0 {
		return record.Equipment{}, &record.FieldError{Field: sort, Value: id, Cause: &record.LacksError{Sort: sort}}
	}
	if id == "" {
		return record.Equipment{}, &record.FieldError{Field: sort, Want: "one of " + record.OneOf("", ids)}
	}
	return record.Equipment{}, &record.UnknownError{What: sort, Name: id, Known: ids}
}

// NotLater checks that a day somebody wrote down has come.
func NotLater(field string, on, today record.Date) error {
	if on > today {
		return &record.FieldError{Field: field, Value: on.String(), Want: fmt.Sprintf("a day not after today, %s", today)}
	}
	return nil
}

// NotBefore checks that a day does not lie before the equipment was new.
func NotBefore(field string, on record.Date, e record.Equipment) error {
	if on < e.FirstDay() {
		if e.CameUsed() {
			return &record.FieldError{Field: field, Value: on.String(), Want: fmt.Sprintf("a day not before %s was made, %s", e.ID, e.FirstDay())}
		}
		return &record.FieldError{Field: field, Value: on.String(), Want: fmt.Sprintf("a day not before %s was bought, %s", e.ID, e.Bought)}
	}
	return nil
}
