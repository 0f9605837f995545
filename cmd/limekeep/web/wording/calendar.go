package wording

// The calendar, its address, apps with passwords of their own, and the owner’s own calendar.
const (
	PleaseCorrectCalendar        = "Please correct: calendar"
	PasswordMade                 = "Password made"
	OneOfThoseThatCanBeChosen    = "one of those that can be chosen"
	MakeAPassword                = "Make a password"
	OfTheAppOrItsDevice          = "of the app or its device, for this list"
	WhatItOpens                  = "What it opens"
	TheToDosForATaskApp          = "the to-dos, for a task app"
	WritingUseDown               = "writing use down, for a meter or a plug"
	ReadingTheCalendar           = "reading the calendar"
	AllForAProgramOfYourOwn      = "all, for a program of your own"
	CalendarHasANewAddress       = "The calendar has a new address. Subscriptions under the old one get nothing any more; subscribe again with the new."
	PasswordIsRevoked            = "The password is revoked. The app that had it gets in no longer."
	Calendar                     = "Calendar"
	MakeANewAddress              = "Make a new address"
	TheOldAddressesMayGoDead     = "The old addresses may go dead"
	CalendarFileWasRead          = "The file was read, and the plan is made anew around its busy times."
	CalendarAddressIsKept        = "The address is kept. It is fetched now, and again every hour; the plan goes on without it until then."
	OwnCalendarTakenAway         = "Your own calendar was taken away, and the plan takes no more notice of it."
	YourOwnCalendar              = "Your own calendar"
	BringTheFile                 = "Bring the file"
	CalendarFile                 = "Calendar file"
	CalendarFileHint             = "iCalendar (.ics), as calendar programs export it; 32 MiB at most"
	FetchItFromThere             = "Fetch it from there"
	Address                      = "Address"
	CalendarAddressHint          = "begins with https:// or webcal://, as a calendar program gives it to subscribe to"
	TakeItAway                   = "Take it away"
	PleaseCorrectYourOwnCalendar = "Please correct: your own calendar"
)

// PasswordFor is what an app was just given.
func PasswordFor(app string) string { return "the password for " + app }

// AddressOfCalendar is what is shown as letters and as a QR code.
func AddressOfCalendar(place string) string { return "the address of the calendar of " + place }
