package wording

// Several places at a glance, and a round of them.
const (
	ADayPast                 = "a day past"
	ByNeed                   = "what is wrong first, then by what waiting costs"
	ByDate                   = "by what is likely due the soonest"
	ByName                   = "by name"
	Search                   = "Search"
	ANameATaskAPart          = "a name, a task, a part"
	Order                    = "Order"
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
