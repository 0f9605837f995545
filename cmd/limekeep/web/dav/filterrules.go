package dav

// inside says which of the components of RFC 5545, 3.6 lie in which. Filters that
// ask otherwise are not valid (RFC 4791, 7.8, CALDAV:valid-filter).
var inside = map[string]map[string]bool{
	"":          {"VCALENDAR": true},
	"VCALENDAR": {"VEVENT": true, "VTODO": true, "VJOURNAL": true, "VFREEBUSY": true, "VTIMEZONE": true},
	"VEVENT":    {"VALARM": true},
	"VTODO":     {"VALARM": true},
	"VJOURNAL":  {},
	"VFREEBUSY": {},
	"VTIMEZONE": {"STANDARD": true, "DAYLIGHT": true},
	"VALARM":    {},
	"STANDARD":  {},
	"DAYLIGHT":  {},
}

// liesIn reports whether a component can lie in another, which is empty for the
// outermost. Components of other standards, or of an app's own, can lie in any.
func liesIn(name, within string) bool {
	allowed, known := inside[within]
	if within == "" || !known {
		return !known || allowed[name]
	}
	_, known = inside[name]
	return !known || allowed[name]
}

// timeless are the properties of RFC 5545, 3.8 and RFC 7986, 5 whose values are no
// dates or times, so that a filter with a time range on them is not valid (RFC 4791,
// 7.8, has SUMMARY as its example).
var timeless = map[string]bool{
	"CALSCALE": true, "METHOD": true, "PRODID": true, "VERSION": true,
	"ATTACH": true, "CATEGORIES": true, "CLASS": true, "COMMENT": true, "DESCRIPTION": true, "GEO": true, "LOCATION": true, "PERCENT-COMPLETE": true,
	"PRIORITY": true, "RESOURCES": true, "STATUS": true, "SUMMARY": true, "TRANSP": true,
	"TZID": true, "TZNAME": true, "TZOFFSETFROM": true, "TZOFFSETTO": true, "TZURL": true,
	"ATTENDEE": true, "CONTACT": true, "ORGANIZER": true, "RELATED-TO": true, "URL": true, "UID": true,
	"ACTION": true, "REPEAT": true, "SEQUENCE": true, "REQUEST-STATUS": true,
	"NAME": true, "COLOR": true, "IMAGE": true, "CONFERENCE": true, "SOURCE": true,
}
