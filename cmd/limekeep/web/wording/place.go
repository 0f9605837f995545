package wording

import (
	"fmt"
)

// A place: when its work is done, what its calendar shows, prices.
const (
	DaysBefore                           = "days before"
	HoursBefore                          = "hours before"
	MinutesBefore                        = "minutes before"
	HowLong                              = "How long"
	Reminder                             = "Reminder"
	NoReminder                           = "no reminder"
	OnTheDay                             = "on the day"
	OnTheDayBefore                       = "on the day before"
	At                                   = "At"
	BeforeAnEntryWithATime               = "Before an entry with a time"
	ForAnEntryOfAWholeDay                = "For an entry of a whole day"
	Another                              = "Another"
	AWholeNumberSuchAs2                  = "a whole number, such as 2"
	ATimeOfDaySuchAsSix                  = "a time of day, such as 18:00"
	OneOfTheDaysOffered                  = "one of the days that can be chosen"
	ThePlace                             = "The place"
	WhenYouWouldRatherDoTheWork          = "When you would rather do the work"
	PreferredTimesMean                   = "Sittings are planned at these times, on the clock of the place. Without any it is Saturdays at ten, two hours."
	TheRoutine                           = "The routine"
	RoutineMeans                         = "What comes again within days has its own day and minutes, and takes no sitting."
	WhatTheCalendarShows                 = "What the calendar shows"
	WhoseCalendar                        = "Of those who subscribe to it, or fetch it as a file."
	RemindersInTheCalendar               = "Reminders in the calendar"
	RemindersMean                        = "An entry with a time reminds you so long before it; an entry for a whole day at an hour of that day or of one before."
	Prices                               = "Prices"
	PricesMean                           = "With these the plan, scale and other waters are told in money as well. Each may be left open."
	TimeZone                             = "Time zone"
	TimeZoneHint                         = "as in the IANA time zone database, such as Europe/Vienna or Asia/Kolkata"
	HardnessAndAlkalinityAreToldIn       = "Hardness and alkalinity are told in"
	PlaceGroup                           = "Chain or customer that it belongs to"
	PlaceGroupHint                       = "places are listed by it; may be left open"
	PlaceAddress                         = "Address"
	PlaceAddressHint                     = "for whoever comes by; may be left open"
	WaterDistrict                        = "Water district"
	WaterDistrictHint                    = "a short name for the main that its water comes from: a test of the district counts for all places on it; may be left open"
	VolumesAndTemperaturesAreToldIn      = "Volumes and temperatures are told in"
	UnitsHint                            = "on these pages; forms take the same; weights stay in grams and pressures in bar, as scales and gauges have them"
	LitresAndCelsius                     = "litres and °C"
	GallonsAndFahrenheit                 = "US gallons, fluid ounces and °F"
	GrainsPerUSGallon                    = "grains per US gallon"
	MgPerLAsCaCO3WithGermanDegrees       = "mg/L as CaCO₃, with °dH beside it"
	NoSuchTime                           = "no such time"
	BeginsAt                             = "Begins at"
	Minutes                              = "Minutes"
	AnotherTime                          = "Another time"
	MinutesAWeekWhileCatchingUp          = "Minutes a week while catching up"
	CatchingUpHint                       = "at the most, while what is long past is caught up with; open for what is usual"
	ATimeOfDaySuchAsTen                  = "a time of day, such as 10:00"
	DayOfTheWeeklyRound                  = "Day of the weekly round"
	WhicheverLiesFarthestFromTheSittings = "whichever lies farthest from the sittings"
	MinutesThatThereAreForARound         = "Minutes that there are for a round"
	RoundMinutesHint                     = "a round that takes longer says so; open for as long as it takes"
	AnEntryFor                           = "An entry for"
	EachSittingWithItsTimetable          = "each sitting, with its timetable"
	EachTaskByItself                     = "each task by itself"
	RoutineInCalendar                    = "Each round of the routine as an entry that recurs"
	RoutineInCalendarHint                = "else task apps and these pages alone have it"
	DaysDoneStays                        = "Days that what was done stays in the calendar"
	CurrencyHint                         = "such as EUR; it is written behind each amount"
	AnHourOfYourOwnWork                  = "An hour of your own work"
	AKilowattHourOfElectricity           = "A kilowatt-hour of electricity"
	ACartridge                           = "A cartridge"
)

// SoManyDaysBefore is when a reminder comes.
func SoManyDaysBefore(n int) string { return fmt.Sprintf("%d days before", n) }

// Numbered is one of several of a thing, from 1.
func Numbered(what string, n int) string { return fmt.Sprintf("%s %d", what, n) }

// PreferredTime is one of several, from 1.
func PreferredTime(n int) string { return fmt.Sprintf("Time %d", n) }

// AsWrittenText is what says more than can be chosen on the page.
func AsWrittenText(text string) string { return "as written: " + text }

// DaysDoneHint says what an open field stands for.
func DaysDoneHint(usual int) string {
	return fmt.Sprintf("0 for not at all; %d where left open", usual)
}
