package wording

import "fmt"

// What was not taken, not found or went wrong.
const (
	ClockBeforeSetUp           = "The clock is before the set-up"
	SetUpFirst                 = "Nothing is known of a place and its equipment yet: set them up first, then open this page again."
	SetUpAlready               = "Set up already"
	SetUpAlreadyHere           = "A place is set up here already, so nothing was written: change it instead."
	TooMuch                    = "Too much"
	FormTooLarge               = "The form was larger than any form of these pages. Nothing was written."
	SomethingWentWrong         = "Something went wrong"
	CouldNotBeAnswered         = "This could not be answered. The log says why; nothing was written."
	GivenUp                    = "Given up"
	GivenUpBecause             = "This was given up before it was answered, since the connection was closed or the server stops. Ask again."
	FormFromAnotherSite        = "This form came from another site, so nothing was written. Open the page here and send the form from there."
	SendWithoutCoding          = "Nothing was written: send it as it is, without a content coding."
	HostNotAnswered            = "This server does not answer to that host name. Use one of the names it was told to answer to."
	PageBrokeDown              = "Something went wrong here. Nothing more was written; the log says what happened."
	PageNotShown               = "This page could not be shown. The log says why."
	NotAForm                   = "Not a form"
	NothingHere                = "Nothing here"
	ThereIsNoPageAtThisAddress = "There is no page at this address."
	OneFileAfterAnother        = "One file after another"
	AnotherFileIsBeingRead     = "Another file is being read just now. Nothing was written; send it again in a moment."
	TooLarge                   = "Too large"
	FileTooLarge               = "The file is larger than any that is taken here. Nothing was written."
)

// Health of the server, for those who watch over it.
const (
	NoPlanYet = "no plan has been made yet"
	PlanFails = "the plan cannot be made anew; the log says why"
)

// NothingIsCalled says that a name in an address stands for nothing.
func NothingIsCalled(what, name string) string {
	const most = 60
	if runes := []rune(name); len(runes) > most {
		name = string(runes[:most]) + "…"
	}
	return fmt.Sprintf("%s “%s” is not known here. It may have been renamed, or have left the place.", what, name)
}

// PutTheClockRight says that today lies before all that was written down.
func PutTheClockRight(today string) string {
	return "By the clock of this computer it is " + today + ", and nothing was set up here by then. Put the clock right, then open this page again; nothing that was written down is lost."
}
