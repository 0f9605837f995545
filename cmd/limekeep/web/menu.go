package web

// menuEntry is a page that every page leads to.
type menuEntry struct{ Path, Name string }

// menu is on top of every page, more at its foot.
var (
	menu = []menuEntry{
		{"/", "Now"}, {"/plan", "Plan"}, {"/water", "Water"}, {"/equipment", "Equipment"}, {usePath, "Use"}, {"/history", "History"},
	}
	more = []menuEntry{
		{calendarPath, "Calendar and apps"},
		{settingsPath, "Settings"},
		{readerPath, "Dates and numbers"},
		{aboutPath, "About and safety"},
	}
)

// wholeMenu is on top of the pages that are about all places.
var wholeMenu = []menuEntry{
	{placesPath, "Places"}, {roundPath, "Round"}, {roundPath + "/load", "Load"}, {placesPath + "/calendar", "Calendar and apps"},
}

// menuOf returns the menu on top of a page.
func menuOf(whole, staff bool) []menuEntry {
	switch {
	case whole:
		return wholeMenu
	case staff:
		return staffMenu
	}
	return menu
}

// staffMenu is on top of what staff see.
var staffMenu = []menuEntry{{"/", "Today"}, {usePath, "Use"}}

// moreOf returns the menu at the foot of a page.
func moreOf(whole, staff bool) []menuEntry {
	switch {
	case whole:
		return nil
	case staff:
		return []menuEntry{{readerPath, "Dates and numbers"}, {aboutPath, "About and safety"}}
	}
	return more
}
