package wording

import (
	"fmt"
)

// Several places at a glance, and a round of them.
const (
	ByNeed                   = "what is wrong first, then by what waiting costs"
	ByDate                   = "by what is likely due the soonest"
	ByName                   = "by name"
	Search                   = "Search"
	ANameATaskAPart          = "a name, a task, a part"
	Order                    = "Order"
	OfGroup                  = "Chain or customer"
	WhichPlace               = "Which place?"
	AllPlaces                = "all places"
	CalendarOfAllPlaces      = "Calendar of all places"
	NotEveryPlaceIsWorkedOut = "Not every place is worked out yet. Look again in half a minute."
	TheRecordsCannotBeRead   = "the records cannot be read"
	ThePlacesWereNotReadYet  = "the places were not read yet"
	NotEveryPlaceHasAPlanYet = "not every place has a plan yet"
	PlanOfAPlaceFails        = "the plan of a place cannot be made; the log says why"
	Weeks                    = "Weeks"
	One                      = "one"
	Two                      = "two"
	Three                    = "three"
	Four                     = "four"
)

// DaysAway says how far off a day is, in days from today.
func DaysAway(n int) string {
	switch {
	case n == 0:
		return "today"
	case n == -1:
		return "a day past"
	case n < 0:
		return fmt.Sprintf("%d days past", -n)
	case n == 1:
		return "tomorrow"
	default:
		return fmt.Sprintf("in %d days", n)
	}
}
