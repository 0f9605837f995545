package wording

// Who may come in beside the owner.
const (
	People               = "People"
	TechnicianMay        = "technician: all work, the plan, water and history"
	StaffMay             = "staff: the routine, use, and what was found"
	ReaderMay            = "reader: looks, and writes nothing"
	WhatAs               = "What as"
	WhichPlaces          = "Which places"
	NoneForAllPlaces     = "none ticked: all of them"
	NameOfWhoComes       = "Name"
	ThatIsKnownAlready   = "one that is on the list already gets a link for another device"
	InviteThem           = "Make a link"
	WhatTheyMayIsChanged = "It is changed, for those who are signed in as well."
	TheyComeInNoLonger   = "They may come in no longer, and are signed out. What they wrote down stays, with their name."
	APasswordFirst       = "a password of your own first: without one everybody who reaches the pages may do everything"
	NobodyIsCalledSo     = "Nobody on the list is called so; perhaps it was changed meanwhile."
	TheLink              = "the link"
	TheVan               = "Van"
	OneOfTheList         = "an item of the list"
)
