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
