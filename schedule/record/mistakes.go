package record

import (
	"errors"
	"strings"
)

// MistakesError are all that is wrong with what somebody wrote, in the order in which
// people meet the fields; of each field the first. There is at least one, and
// errors.As finds the first.
type MistakesError []*FieldError

// Error has a line for each mistake.
func (m MistakesError) Error() string {
	lines := make([]string, len(m))
	for i, wrong := range m {
		lines[i] = wrong.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap makes errors.Is and errors.As look at each.
func (m MistakesError) Unwrap() []error {
	all := make([]error, len(m))
	for i, wrong := range m {
		all[i] = wrong
	}
	return all
}

// MistakesOf returns the mistakes that an error is about; false where it is about
// something else.
func MistakesOf(err error) (MistakesError, bool) {
	var all MistakesError
	if errors.As(err, &all) {
		return all, true
	}
	var wrong *FieldError
	if errors.As(err, &wrong) {
		return MistakesError{wrong}, true
	}
	return nil, false
}

// AllOf returns all errors of some checks: nil for none, the error itself where it
// is the only one, else MistakesError. Something that is no mistake of a field is
// returned alone, since it says that nothing could be checked.
func AllOf(checks ...error) error {
	var all MistakesError
	told := map[string]bool{}
	for _, err := range checks {
		if err == nil {
			continue
		}
		some, ok := MistakesOf(err)
		if !ok {
			return err
		}
		for _, wrong := range some {
			if !told[wrong.Field] {
				told[wrong.Field] = true
				all = append(all, wrong)
			}
		}
	}
	switch len(all) {
	case 0:
		return nil
	case 1:
		return all[0]
	}
	return all
}

// EachMistake returns an error with each of its mistakes changed; an error that has
// none stays as it is.
func EachMistake(err error, change func(FieldError) FieldError) error {
	all, ok := MistakesOf(err)
	if !ok {
		return err
	}
	changed := make([]error, len(all))
	for i, wrong := range all {
		other := change(*wrong)
		changed[i] = &other
	}
	return AllOf(changed...)
}
