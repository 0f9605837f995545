package web

import (
	"net/http"
	"slices"

	"limekeep/cmd/limekeep/web/roles"
	"limekeep/cmd/limekeep/web/wording"
)

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
	{placesPath, wording.Places}, {comparedPath, wording.Compare}, {roundPath, wording.Round}, {roundPath + "/load", wording.Load}, {vanPath, wording.TheVan}, {peoplePath, wording.People}, {placesPath + "/calendar", wording.CalendarAndApps},
}

// menuOf returns the menu on top of a page, for somebody of a role.
func menuOf(whole bool, role roles.Role) []menuEntry {
	switch {
	case whole:
		return openTo(role, wholeMenu)
	case role == roles.Staff:
		return staffMenu
	}
	return openTo(role, menu)
}

// openTo leaves of a menu what somebody of a role may look at.
func openTo(role roles.Role, all []menuEntry) []menuEntry {
	if role == roles.Owner {
		return all
	}
	return slices.DeleteFunc(slices.Clone(all), func(e menuEntry) bool { return !roles.May(role, http.MethodGet, e.Path) })
}

// staffMenu is on top of what staff see.
var staffMenu = []menuEntry{{"/", wording.Today}, {usePath, wording.Use}}

// moreOf returns the menu at the foot of a page.
func moreOf(whole bool, role roles.Role) []menuEntry {
	if whole {
		return nil
	}
	return openTo(role, more)
}
