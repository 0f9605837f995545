package record

// Past is what an owner knows of one part, or of a whole piece of equipment, from
// before its records begin.
type Past struct {
	Of     string    `json:"of,omitempty"`     // id of a group, a vessel or a stage, or a task such as group-gasket; empty for all of it
	State  PastState `json:"state,omitempty"`  // unknown where left out
	On     Date      `json:"on,omitzero"`      // the day it was new, or up to which it was cared for
	Looked Look      `json:"looked,omitempty"` // how it looked when last seen; empty where nobody looked
}

// PastState says what is known of a part's past.
type PastState string

// What can be known of a part's past.
const (
	WasNew       PastState = "new"       // fitted new on a day
	CaredFor     PastState = "cared for" // all that is done to it was done up to a day
	PastUnknown  PastState = "unknown"
	PastAsBefore PastState = "" // as the equipment around it
)

// Choices lists what can be known of a past.
func (PastState) Choices() []string {
	return []string{string(WasNew), string(CaredFor), string(PastUnknown)}
}

// Look says how a part looked to its owner before any record was kept.
type Look string

// How a part can look.
const (
	LookedClean Look = "clean"
	LookedWorn  Look = "worn"
)

// Choices lists how a part can look.
func (Look) Choices() []string { return []string{string(LookedClean), string(LookedWorn)} }

// validate checks one part's past by itself; first is the first day that it can
// speak of, zero where none is known.
func (p Past) validate(first Date) error {
	dated := p.State == WasNew || p.State == CaredFor
	return AllOf(
		text("of", p.Of, 100),
		optionalChoice("state", string(p.State), p.State.Choices()),
		refuse(dated && p.On.IsZero(), "on", "", "the day it was new, or up to which it was cared for, such as 2025-06-30"),
		refuse(!dated && !p.On.IsZero(), "on", p.On, "a day only beside the state new or cared for"),
		where(dated && !first.IsZero(), notBefore("on", p.On, first, "a day not before the equipment was made, ")),
		optionalChoice("looked", string(p.Looked), p.Looked.Choices()),
		refuse(p.State == PastAsBefore && p.Looked == "", "state", "", "one of new, cared for, unknown, or how it looked"),
	)
}

// Origin returns the first day of equipment that is known: the day it was made,
// or else the day it came new; zero where it came used and nobody knows its age.
func (e Equipment) Origin() Date {
	switch {
	case !e.Made.IsZero():
		return e.Made
	case e.Used:
		return 0
	}
	return e.Bought
}

// CameUsed reports whether the equipment was not new when it came.
func (e Equipment) CameUsed() bool { return e.Used || !e.Made.IsZero() }

// FirstDay returns the first day on which something can have been done to the
// equipment or written down about it.
func (e Equipment) FirstDay() Date {
	if e.CameUsed() {
		return max(e.Origin(), earliestDay)
	}
	return e.Bought
}

// Completed returns equipment as it is kept: what a place file leaves out stays as
// was known of it, and of what is new there the records begin on a day. A day it
// came that nobody gave is that day, on which it came used. known is what the
// records say of it; false where it was not there before.
func (e Equipment) Completed(known Equipment, was bool, today Date) Equipment {
	switch {
	case !e.Bought.IsZero():
	case was:
		e.Bought, e.Used = known.Bought, e.Used || known.Used
		if e.Made.IsZero() {
			e.Made = known.Made
		}
	default:
		e.Bought, e.Used = max(today, e.Made), true
	}
	if e.RecordsFrom.IsZero() {
		if e.RecordsFrom = today; was {
			e.RecordsFrom = known.RecordsFrom
		}
	}
	return e
}

// earliestDay is before all espresso machines that are still in use.
var earliestDay = NewDate(1900, 1, 1)
