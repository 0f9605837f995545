package wording

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
	ThisStaysBecause             = "A record of this kind cannot be taken back here: what the place file says is put right there, and a plan that went out cannot be unsaid."
	WhyItWasWrong                = "Why it was wrong"
	MayBeLeftOpenHistoryKeepsIt  = "may be left open; history keeps it"
	PleaseCorrectTakeARecordBack = "Please correct: take a record back"
)
