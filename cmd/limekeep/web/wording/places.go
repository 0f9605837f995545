package wording

import (
	"fmt"
	"strconv"
)

// Several places at a glance, and a round of them.
const (
	ByNeed                   = "what is wrong, then what waits dearest"
	ByDate                   = "by what is likely due the soonest"
	ByName                   = "by name"
	Search                   = "Search"
	ANameATaskAPart          = "a name, a task, a part"
	Order                    = "Order"
	PlacesCompared           = "Places compared"
	ByScale                  = "the most scale first"
	ByUse                    = "the most shots first"
	ByHardness               = "the hardest water first"
	ByScore                  = "the forecasts that held the least first"
	NeverTested              = "never tested"
	OfGroup                  = "Chain or customer"
	PlacesFromATable         = "Places from a table"
	TheTable                 = "The table"
	TableFileHint            = "a CSV file, as spreadsheets save it; 16 MiB at most"
	NewPlacesAreLike         = "New places are like"
	NewPlacesAreLikeHint     = "their name, address, serial numbers and days are their own"
	AsTheTableSaysAlone      = "none: the table says all"
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

// PlacesWritten says how many places a table added and changed.
func PlacesWritten(added, changed uint64) string {
	return fmt.Sprintf("Written down: %d added, %d changed.", added, changed)
}

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

// GramsBetween says how much scale there likely is, and between which bounds.
func GramsBetween(likely, low, high string) string {
	return likely + " g (" + low + " to " + high + ")"
}

// HardnessTested says how hard a water is, mg/L as CaCO3.
func HardnessTested(mgPerL string, ofDistrict bool) string {
	if ofDistrict {
		return mgPerL + " mg/L, of its district"
	}
	return mgPerL + " mg/L"
}

// HeldOfPromised says how many findings lay in their windows, in hundreds, and how many
// were to.
func HeldOfPromised(held string, of int, promised string) string {
	return held + " % of " + strconv.Itoa(of) + ", promised " + promised + " %"
}
