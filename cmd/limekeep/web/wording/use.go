package wording

import (
	"fmt"
)

// What was drawn, ground and used; times away; a shot log.
const (
	LookAtIt                     = "Look at it"
	TheLog                       = "The log"
	LogFileHint                  = "a CSV file, as spreadsheets and apps export it; 16 MiB at most"
	AllRowsWereKnown             = "All of its rows were known already, and nothing was written down."
	FileNoLongerAtHand           = "The file is no longer at hand, and nothing of it was written down: bring it again."
	ImportAShotLog               = "Import a shot log"
	PleaseCorrectAShotLog        = "Please correct: a shot log"
	LookAgain                    = "Look again"
	WhatItsColumnsAre            = "What its columns are"
	AsItsNameSays                = "as its name says"
	PassedOver                   = "passed over"
	PassOverUnknownColumns       = "Pass over all columns whose name is not known"
	OrderOfDates                 = "Order of dates"
	AsTheFileTells               = "as the file tells"
	ASpreadsheetsNumbersFrom1900 = "a spreadsheet’s numbers, from 1900"
	ASpreadsheetsNumbersFrom1904 = "a spreadsheet’s numbers, from 1904"
	WhatPartsDecimals            = "What parts decimals"
	APoint                       = "a point"
	AComma                       = "a comma"
	DoseAndYieldOfSeveralShots   = "In a row of several shots, dose and yield are"
	NotToldYet                   = "not told yet"
	OfEachShot                   = "of each shot"
	OfAllTogether                = "of all together"
	TakeTheHabitsDose            = "Where no dose stands, take the habit’s"
	TakeWhatIsUnusualAsItStands  = "Take what is unusual as it stands"
	ReplaceRows                  = "Rows that say something else than before take the place of those"
	HowTheLogIsUnderstood        = "How the log is understood"
	AllOfThePlace                = "all of the place"
	PastOrToCome                 = "past or to come"
	TheFirstWhereLeftOpen        = "the first where left open"
	ShotsOnTopOfTheHabit         = "Shots a day on top of the habit"
	SwitchedOff                  = "Switched off"
	OpenUntilYouEndItHere        = "open until you end it here"
	ItMayFreeze                  = "It may freeze where the machine stands"
	LastDayAway                  = "Last day away"
	OneOfTheOpenTimesAway        = "one of the times away that are open"
	WhatWasDrawn                 = "What was drawn"
	AFinishedBagOfCoffee         = "A finished bag of coffee"
	WriteTheBagDown              = "Write the bag down"
	TheWaterMeter                = "The water meter"
	Guests                       = "Guests"
	WriteTheGuestsDown           = "Write the guests down"
	TimeAway                     = "Time away"
	WriteTheTimeAwayDown         = "Write the time away down"
	ATimeAwayLeftOpen            = "A time away left open"
	EndTheTimeAway               = "End the time away"
	Shots                        = "Shots"
	NoughtForADayWithout         = "0 for a day without"
	ShotsExample                 = "4, or 0 for a day without"
	OfTheseWithSteamedMilk       = "Of these with steamed milk"
	ByHabitWhereLeftOpen         = "by habit where left open"
	HotWaterDrawnLitres          = "Hot water drawn, litres"
	LastOfSeveralDays            = "Last of several days"
	OpenForOneDayOrTogether      = "open for one day; the figures are of all the days together"
	CoffeeInTheBagG              = "Coffee in the bag, g"
	DayItWasFinished             = "Day it was finished"
	DayItWasOpened               = "Day it was opened"
	DayItWasOpenedHint           = "when the bag before was finished, where left open"
	Beans                        = "Beans"
	WaterLineLabel               = "Water line"
	WhatTheMeterShows            = "What the meter shows"
	Litres                       = "litres"
	CubicMetres                  = "cubic metres (m³)"
	CubicFeet                    = "cubic feet"
	DayOfTheMeterReading         = "Day, at the end of which it was read"
	FirstFigureOfANewMeter       = "First figure of a new meter"
	NewMeterHint                 = "only where the meter was changed right after this reading"
	MeterRollsOver               = "Figure at which it begins again at 0"
	MeterRollsOverHint           = "only where it ran over its last figure"
	LitresOrCubicMetres          = "litres, cubic metres, US gallons or cubic feet"
	AnotherMachine               = "Another machine"
	NothingToWriteItDownOf       = "There is nothing at this place that it could be written down of."
	PleaseCorrectUse             = "Please correct: use"
)

// Column is one of a shot log that has no name, from 1.
func Column(n int) string { return fmt.Sprintf("Column %d", n) }

// WithRecord adds the number of a record, by which it can be told from others.
func WithRecord(says string, record int64) string { return fmt.Sprintf("%s (record %d)", says, record) }

// Counted says what of an entry counts: not those of its days of which a more trusted
// record speaks.
func Counted(shots string, days, not int) string {
	text := fmt.Sprintf("%s shots on %s count", shots, inDays(days))
	switch {
	case not == 1:
		text += "; 1 day of it does not, since a more trusted record has it"
	case not > 0:
		text += fmt.Sprintf("; %s of it do not, since a more trusted record has them", inDays(not))
	}
	return text + "."
}

func inDays(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}
