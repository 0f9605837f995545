package wording

// The menu, and how a reader has dates and numbers.
const (
	AboutAndSafety        = "About and safety"
	Now                   = "Now"
	CalendarAndApps       = "Calendar and apps"
	Settings              = "Settings"
	DatesAndNumbers       = "Dates and numbers"
	Today                 = "Today"
	WriteThemSo           = "Write them so"
	Dates                 = "Dates"
	Numbers               = "Numbers"
	WithADecimalPoint     = "with a decimal point"
	WithADecimalComma     = "with a decimal comma"
	ChooseOrderAndNumbers = "Choose one of the orders and one of the ways to write numbers."
	PleaseCorrectSettings = "Please correct: settings"
)
