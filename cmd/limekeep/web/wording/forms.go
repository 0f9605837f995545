package wording

import (
	"fmt"
)

// What several pages and forms say.
const (
	Name                     = "Name"
	TickTheBoxForANewAddress = "Tick the box if the old address is to go dead."
	NameOfThisServer         = "the name of this server in the request"
	KeepItSo                 = "Keep it so"
	WriteTheReadingDown      = "Write the reading down"
	Group                    = "Group"
	ThatCannotBeTaken        = "That cannot be taken"
	Equipment                = "Equipment"
	NothingIsSetUpYet        = "Nothing is set up yet"
	NotKnown                 = "Not known"
	Note                     = "Note"
	MayBeLeftOpen            = "may be left open"
	ANumber                  = "a number"
	ADay                     = "a day"
	SendAsAForm              = "send the form as application/x-www-form-urlencoded"
	ANumberWithAPoint        = "a number with a point, such as 12.5"
	NoFileCame               = "no file came with it: choose one first"
	FileLargerThanAny        = "the file is larger than any that is taken here"
	AFile                    = "a file"
	Mondays                  = "Mondays"
	Tuesdays                 = "Tuesdays"
	Wednesdays               = "Wednesdays"
	Thursdays                = "Thursdays"
	Fridays                  = "Fridays"
	Saturdays                = "Saturdays"
	Sundays                  = "Sundays"
	MondaysToFridays         = "Mondays to Fridays"
	SaturdaysAndSundays      = "Saturdays and Sundays"
	EveryDay                 = "every day"
	NotTaken                 = "Not taken"
	History                  = "History"
	Machine                  = "Machine"
	TheDayFirst              = "the day first"
	TheMonthFirst            = "the month first"
	TheYearFirst             = "the year first"
	WriteItDown              = "Write it down"
	Which                    = "Which"
	Plan                     = "Plan"
	Water                    = "Water"
	Use                      = "Use"
	Places                   = "Places"
	Round                    = "Round"
	Load                     = "Load"
	Sitting                  = "Sitting"
	AWaterLinePart           = "water line"
	From                     = "From"
	Day                      = "Day"
	What                     = "What"
	In                       = "In"
	Grinder                  = "Grinder"
	Days                     = "Days"
	MgPerLAsCaCO3            = "mg/L as CaCO₃"
	USGallons                = "US gallons"
	USFluidOunces            = "US fluid ounces"
	GermanDegrees            = "°dH (German)"
	FrenchDegrees            = "°fH (French)"
	ClarkDegrees             = "°e (Clark)"
	Currency                 = "Currency"
	FirstDay                 = "First day"
	LastDay                  = "Last day"
)

// PleaseCorrect is the title of a form in which something is wrong.
func PleaseCorrect(what string) string { return "Please correct: " + what }

// PleaseGive asks for what is missing or wrong.
func PleaseGive(want string) string { return "Give " + want + "." }

// ToGive is the same within a sentence.
func ToGive(want string) string { return "give " + want }

// SuchAs adds an example to what is asked for.
func SuchAs(want, example string) string { return want + ", such as " + example }

// NothingWasWritten says why a form was not taken.
func NothingWasWritten(why string) string { return "Nothing was written: " + why + "." }

// FromTo is a range of two figures with their units.
func FromTo(low, high string) string { return fmt.Sprintf("from %s to %s", low, high) }

// ToOf is the same, shorter.
func ToOf(low, high string) string { return low + " to " + high }
