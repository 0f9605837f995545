package schedule

import (
	"strconv"
	"strings"

	"limekeep/schedule/record"
)

// Action is something to do next that an answer or an error names. How it is spelt,
// as a command or by a page, is for the door to say.
type Action struct {
	Verb     Verb
	Task     string                 // id, of what is done
	Kind     record.MeasurementKind // of what is measured
	After    string                 // id of the treatment behind which the water is tested; empty for raw water
	Record   int64                  // of what is taken back
	Findings []string               // of what is done, where it is to be said what was found
	Line     string                 // of a place file, that says what is set up; empty for none in particular
}

// Verb is the kind of an action.
type Verb string

// Verbs.
const (
	SetUpPlace   Verb = "set up"    // a place and its equipment
	AddWaterTest Verb = "test"      // write a water test down
	Measure      Verb = "measure"   // write a condition check down
	Done         Verb = "done"      // write a service down
	Look         Verb = "look"      // write down what was seen of a part, with nothing done to it
	TakeBack     Verb = "take back" // make a record void
	AddAway      Verb = "go away"   // write a time away down
	AddBag       Verb = "empty bag" // write down a bag of coffee that is finished
	Subscribe    Verb = "subscribe" // to the calendar
)

// String names an action in words that belong to no door.
func (a Action) String() string {
	words := []string{string(a.Verb), a.Task, string(a.Kind)}
	if a.After != "" {
		words = append(words, "behind "+a.After)
	}
	if a.Record != 0 {
		words = append(words, "record "+strconv.FormatInt(a.Record, 10))
	}
	return strings.Join(strings.Fields(strings.Join(words, " ")), " ")
}

// Speller spells an action as its door does. A nil one has words of no door.
type Speller func(Action) string

// Spell returns an action as the door spells it.
func (s Speller) Spell(a Action) string {
	if s == nil {
		return a.String()
	}
	return s(a)
}

// Quote spells an action for a sentence: what is to be typed stands between backticks,
// a place on a page, which begins with its article, does not, nor what has backticks of
// its own.
func (s Speller) Quote(a Action) string {
	text := s.Spell(a)
	if strings.HasPrefix(text, "the ") || strings.Contains(text, "`") {
		return text
	}
	return "`" + text + "`"
}

// NeedError says what is missing before an answer can be given, and what provides
// it.
type NeedError struct {
	What string
	Do   Action
}

// Error says what is missing.
func (e *NeedError) Error() string { return e.What }
