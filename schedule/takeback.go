package schedule

import "limekeep/schedule/record"

// MayBeVoided tells whether a record can be taken back: what a place file says
// is put right there, a plan that went out cannot be unsaid, and what is void
// already, or makes another void, stays as it is.
func (l HistoryLine) MayBeVoided() bool {
	switch l.Kind {
	case record.KindPlace, record.KindEquipment, record.KindRetired, record.KindOwnCare, record.KindPublication, record.KindVoid:
		return false
	}
	return l.Voided == 0
}
