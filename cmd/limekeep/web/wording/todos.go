package wording

// To-dos as task apps show them, and what such an app may not do.
const (
	CareOfAllPlaces   = "Machine care, all places"
	DueEverywhere     = "What is due at every place, and what was done."
	DueAndDone        = "What is due, and what was done within a year."
	NewToDoOfOnePlace = "A new to-do belongs to one place: make it in the list of that place."
	TooManyDeletions  = "More than three deletions within a minute look like an app that resets itself, so they were taken back. Delete a few at a time."
	AddressTaken      = "Another to-do is kept at this address: give a new one an address of its own."
	ToDoNotOpen       = "This to-do is not open any more. What is due is made here; fetch the collection anew."
	UIDKeptElsewhere  = "A to-do of this UID is kept at another address."
	NoNewToDos        = "limekeep takes no new to-dos: it makes its own. To let it, start it with --take-todos."
)

// CareOf is the name of a place’s list of to-dos.
func CareOf(place string) string { return "Machine care, " + place }

// NoToDo says why what an app sent is none.
func NoToDo(why string) string { return "The object holds no to-do that can be read: " + why + "." }
