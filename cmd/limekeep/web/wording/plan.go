package wording

// The plan, what is in the cupboard, and paper.
const (
	NoSuchSitting          = "No such sitting"
	NoSittingThen          = "No sitting is planned for then. The plan says which are."
	ThePlanOfAYear         = "The plan of a year"
	WorkSince              = "Work since"
	Labels                 = "Labels"
	KeepDaysFree           = "Keep days free"
	KeepThemFree           = "Keep them free"
	OpenForOneDay          = "open for one day"
	Item                   = "Item"
	WhatIsInTheCupboard    = "What is in the cupboard"
	SoManyAreThere         = "so many are there"
	SoManyCame             = "so many came"
	SoManyDaysAnOrderTakes = "so many days an order takes"
	HowMany                = "How many"
	PleaseCorrectPlan      = "Please correct: plan"
)

// What a label sticks on.
const (
	AMachine     = "machine"
	AGrinderPart = "grinder"
	SomeTools    = "tools"
)

// ServiceReport is the title of a customer’s report.
func ServiceReport(name string) string { return "Service report: " + name }
