package schedule

import (
	"fmt"

	"limekeep/schedule/record"
)

// MayBeVoided tells whether a record can be taken back: neither what stays, nor
// what is void already or makes another void.
func (l HistoryLine) MayBeVoided() bool {
	return l.Voided == 0 && l.Kind != record.KindVoid && stays(l.Kind) == ""
}

// stays says why a record of a kind cannot be taken back; empty where it can.
func stays(kind record.Kind) string {
	switch kind {
	case record.KindPlace, record.KindEquipment, record.KindRetired, record.KindOwnCare:
		return fmt.Sprintf("this is a %s record, which a corrected place file puts right", kind)
	case record.KindPublication:
		return "a plan that went out cannot be unsaid"
	}
	return ""
}
