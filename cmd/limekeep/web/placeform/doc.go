// Package placeform makes forms of what somebody describes: a place and its wishes, a
// machine with its vessels and groups, a grinder, a water line, tools, tasks of their
// own. There is a field for each thing that can be said of them, and what was filled in
// is read back. Each field knows by which names errors of the rooms call it.
package placeform
