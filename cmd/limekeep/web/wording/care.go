package wording

import (
	"fmt"
)

// A task: writing down what was done or read, its limit, moving it; tasks of the owner’s own.
const (
	KeepThemSo                      = "Keep them so"
	SwitchItOff                     = "Switch it off"
	Task                            = "Task"
	Why                             = "Why"
	LicensedWorkAsksForAReason      = "work for licensed people asks for a reason"
	SwitchItOnAgain                 = "Switch it on again"
	YourOwnTasks                    = "Your own tasks"
	PleaseCorrectYourOwnTasks       = "Please correct: your own tasks"
	WaterCaughtG                    = "Water caught, g"
	InThisTimeS                     = "In this time, s"
	UntilHeatingStops               = "Until the heating first stops, minutes"
	MinutesAndSecondsHint           = "8 minutes 30 seconds are 8.5"
	TemperatureItStartedFromCelsius = "Temperature it started from, °C"
	TwentyIsTakenWhereLeftOpen      = "20 °C is taken where left open"
	TimeFromThePumpsStartS          = "Time from the pump’s start, s"
	SettingOfTheGrinder             = "Setting of the grinder, clicks from its zero point"
	SettingOfTheGrinderExample      = "14, or 0 at the zero point itself"
	DryCoffeeG                      = "Dry coffee, g"
	DrinkInTheCupG                  = "Drink in the cup, g"
	HighestSteadyReadingCelsius     = "Highest steady reading, °C"
	ReadingOnceItStandsBar          = "Reading once it stands, bar"
	WhatTheScaleShowsG              = "What the scale shows, g"
	WhatTheMassWeighsG              = "What the mass weighs, g"
	NoGroupInParticular             = "no group in particular"
	AsLastTime                      = "as last time"
	DayItWasRead                    = "Day it was read"
	NoReadingDoesThisTask           = "No reading does this task; open it to see how it is written down."
	ChangeIt                        = "Change it"
	InTheUnitOfTheOneChosen         = "in the unit of the one chosen"
	UsualLimit                      = "Usual limit"
	Early                           = "Early"
	OneInTenByThen                  = "one in ten by then; may be left open"
	Late                            = "Late"
	NineInTenByThen                 = "nine in ten by then; may be left open"
	OrEverySoManyMonths             = "Or every so many months"
	InPlaceOfAllLimits              = "in place of all limits"
	WhoseFigure                     = "Whose figure"
	MyOwn                           = "my own"
	TheMakersTakenAsItStands        = "the maker’s: taken as it stands"
	TheCataloguesLimitAgain         = "The catalogue’s limit again"
	NoLimitToChange                 = "This task falls due by no limit that can be changed."
	AFigureOrSoManyMonthsBelow      = "a figure, or so many months below"
	WhatWouldThatRisk               = "What would that risk?"
	AnotherDay                      = "Another day"
	AlsoWhereItIsNoPreferredTime    = "also where it is no preferred time"
	NoSittingToMove                 = "This task gets no sitting, so there is nothing to move."
	OneOfTheMovesOnThisPage         = "one of the moves on this page"
	WriteDownWhatWasDone            = "Write down what was done"
	BareFound                       = "no scale to be seen"
	FilmFound                       = "a film that wipes off or lets the metal show"
	CrustFound                      = "a layer that hides the metal"
	FlakesFound                     = "loose pieces"
	FreshFound                      = "still as good as new"
	WornFound                       = "its time had come"
	FailedFound                     = "it leaked, clogged or broke"
	DayItWasDone                    = "Day it was done"
	ScaleThatCameOffGrams           = "Scale that came off, grams"
	ScaleGramsHint                  = "weighed, or worked out from the acid; may be left open"
	WhatYouFound                    = "What you found"
	WhatYouFoundHint                = "before it was put right; leave it open if you did not look"
	NotLookedAt                     = "not looked at"
	TaskFormsElsewhere              = "A form for a task goes to the task's address with done, reading, move or limit behind it."
)

// FoundIt is a service with a finding, in a list of services.
func FoundIt(finding string) string { return "found " + finding }

// GramsCameOff adds how much scale came off.
func GramsCameOff(says, grams string) string { return says + ", " + grams + " g came off" }

// LimitIs tells a gauge’s limit with its spread and whose figure it is.
func LimitIs(gauge, usual, low, high, source string) string {
	return fmt.Sprintf("%s: usually %s (%s to %s); %s.", gauge, usual, low, high, source)
}

// InUnit is the unit in which a limit is entered.
func InUnit(unit string) string { return "in " + unit }

// HalfByThen says what a usual limit means.
func HalfByThen(unit string) string { return unit + "; half of such parts have reached theirs by then" }

// PerCent is the unit of a share of something.
func PerCent(of string) string { return "per cent " + of }

// WriteDownOf is the title of the page on which what was done to a piece is written down.
func WriteDownOf(name string) string { return "Write down: " + name }

// PercentOfItsLimit tells how far a gauge is.
func PercentOfItsLimit(percent float64) string { return fmt.Sprintf("%.0f %% of its limit", percent) }

// TimesItsLimit is the same of one that is far beyond.
func TimesItsLimit(times float64) string { return fmt.Sprintf("%.0f times its limit", times) }
