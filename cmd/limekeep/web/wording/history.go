package wording

import (
	"fmt"
)

// What was written down, taking it back, and how forecasts fared.
const (
	Kind                         = "Kind"
	AllKinds                     = "all kinds"
	HoldingTheseWords            = "Holding these words"
	HowTheForecastsFared         = "How the forecasts fared"
	WhereFindingsLay             = "Where in its forecast each finding lay"
	WhereFindingsLayMeans        = "From much less worn than foreseen to much more. An honest forecast fills all classes alike; one that is too sure fills the outer ones."
	LeastWorn                    = "least worn"
	MostWorn                     = "most worn"
	TakeARecordBack              = "Take a record back"
	NoSuchRecord                 = "There is no such record at this place."
	TakenBackAlready             = "Taken back already"
	ThisStays                    = "This stays"
	ThisStaysBecause             = "A record of this kind cannot be taken back here: what a place and its equipment are is changed in the settings, and a plan that went out cannot be unsaid."
	WhyItWasWrong                = "Why it was wrong"
	MayBeLeftOpenHistoryKeepsIt  = "may be left open; history keeps it"
	PleaseCorrectTakeARecordBack = "Please correct: take a record back"
)

// TakenBackBy says that a record is void already.
func TakenBackBy(record int64) string {
	return fmt.Sprintf("Record %d took this one back; nothing more was written.", record)
}

// TakeRecordBack is the button that voids a record.
func TakeRecordBack(record int64) string { return fmt.Sprintf("Take record %d back", record) }

// Where in its forecast a finding lay, between the least and the most worn.
const (
	LessWorn = "less"
	AsWorn   = "middle"
	MoreWorn = "more"
	Findings = "findings"
)
