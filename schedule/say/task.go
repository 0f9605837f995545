package say

import "slices"

// plainNames are those that a piece of equipment has where nobody gave it one of its own:
// its kind, which the title of a task says already. One that was given is kept as it is.
var plainNames = []string{"machine", "grinder", "water", "water line", "tools"}

// OfTask names a task with its equipment: "Descale the steam boiler, Old lady". A name
// that is just the kind of the equipment is left away.
func OfTask(title, name string) string {
	if own := OwnName(name); own != "" {
		return title + ", " + own
	}
	return title
}

// OwnName returns the name of a piece of equipment, empty where it is just its kind.
func OwnName(name string) string {
	if slices.Contains(plainNames, name) {
		return ""
	}
	return name
}
