package web

import "limekeep/cmd/limekeep/web/wording"

// menuEntry is a page that every page leads to.
type menuEntry struct{ Path, Name string }

// menu is on top of every page, more at its foot.
var (
	menu = []menuEntry{
		{"/", wording.Now}, {"/plan", wording.Plan}, {"/water", wording.Water}, {"/equipment", wording.Equipment}, {usePath, wording.Use}, {"/history", wording.History},
	}
	more = []menuEntry{
		{calendarPath, wording.CalendarAndApps},
		{settingsPath, wording.Settings},
		{readerPath, wording.DatesAndNumbers},
		{aboutPath, wording.AboutAndSafety},
	}
)

// wholeMenu is on top of the pages that are about all places.
var wholeMenu = []menuEntry{
	{placesPath, wording.Places}, {comparedPath, wording.Compare}, {roundPath, wording.Round}, {roundPath + "/load", wording.Load}, {placesPath + "/calendar", wording.CalendarAndApps},
}

// menuOf returns the menu on top of a page.
func menuOf(whole, staff, guest bool) []menuEntry {
	switch {
	case whole && guest: // addresses of calendars are the owner's
		return wholeMenu[:len(wholeMenu)-1]
	case whole:
		return wholeMenu
	case staff:
		return staffMenu
	}
	return menu
}

// staffMenu is on top of what staff see.
var staffMenu = []menuEntry{{"/", wording.Today}, {usePath, wording.Use}}

// moreOf returns the menu at the foot of a page.
func moreOf(whole, guest bool) []menuEntry {
	switch {
	case whole:
		return nil
	case guest:
		return []menuEntry{{readerPath, wording.DatesAndNumbers}, {aboutPath, wording.AboutAndSafety}}
	}
	return more
}
