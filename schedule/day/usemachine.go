package day

import (
	"limekeep/schedule/record"
)

// UseMachine returns the machine that use is written down of. id may be left
// empty where the place has just one.
func (d *Day) UseMachine(id string) (record.Equipment, error) {
	return Pick(d.Book, id, "machine", func(e record.Equipment) bool { return e.Machine != nil })
}
