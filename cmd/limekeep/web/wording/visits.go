package wording

// Visits that were booked, and their reports.
const (
	Visit            = "Visit"
	Visits           = "Visits"
	Arriving         = "Arriving at"
	MinutesThere     = "Minutes there"
	WhoComes         = "Who comes"
	WhatIsDone       = "What is done"
	BookIt           = "Book it"
	BookAVisit       = "Book a visit"
	WhyWithdrawn     = "Why"
	WithdrawTheVisit = "Withdraw the visit"
	NoSuchVisit      = "There is no such visit any more: it was moved, withdrawn, or its work was done."
	Moved            = "Moved or withdrawn"
	SignedReport     = "Service report"
	WorkDoneBy       = "Work done by"
	SignedBy         = "Name of whoever signs"
	SignIt           = "Sign the report"
	RemarkOfSigner   = "Remark"
	NotOverYet       = "Not over yet"
	EndItFirst       = "The sitting goes on. End it first; what is not done stays due and stands in the report."
	NothingBooked    = "Nothing was booked"
	NoVisitNamed     = "The form named no visit of a place that is yours to visit. Open the round again and book from there."
	ChooseATask      = "at least one task"
)

// Invented names, as examples of what is asked for.
const (
	AnnaExample = "Anna"
	BergExample = "K. Berg"
)

// MoveItTo is the button that moves a visit to another day and time.
func MoveItTo(day, clock string) string { return "Move it to " + day + ", " + clock }
