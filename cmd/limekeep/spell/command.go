// Package spell writes as commands what answers say can be done next.
package spell

import (
	"fmt"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

// Command returns the command that does an action. Actions of no known verb have
// none and are named in plain words.
func Command(a schedule.Action) string {
	switch a.Verb {
	case schedule.SetUpPlace:
		if a.Line != "" {
			return fmt.Sprintf("such as `%s` in the place file", a.Line)
		}
		return "limekeep setup"
	case schedule.AddWaterTest:
		if a.After != "" {
			return "limekeep water add --after " + a.After
		}
		return "limekeep water add"
	case schedule.Measure:
		return "limekeep measure " + Kind(a.Kind)
	case schedule.Look:
		return fmt.Sprintf("limekeep done %s --looked --finding %s", a.Task, strings.Join(a.Findings, "|"))
	case schedule.Done:
		if len(a.Findings) > 0 {
			return fmt.Sprintf("limekeep done %s --finding %s", a.Task, strings.Join(a.Findings, "|"))
		}
		return "limekeep done " + a.Task
	case schedule.TakeBack:
		return fmt.Sprintf("limekeep void %d", a.Record)
	case schedule.Subscribe:
		return "limekeep calendar address"
	case schedule.AddAway:
		return "limekeep away add"
	case schedule.AddBag:
		return "limekeep use bag"
	}
	return a.String()
}

// Kind is a kind of check as the command line writes it: shot-time.
func Kind(kind record.MeasurementKind) string {
	return strings.ReplaceAll(string(kind), " ", "-")
}

// Hint says how to get what an error finds missing; empty where there is nothing
// to say.
func Hint(missing *schedule.NeedError) string {
	command := "`" + Command(missing.Do) + "`"
	switch missing.Do.Verb {
	case schedule.SetUpPlace:
		return command + " asks for it, or reads a place file"
	case schedule.AddWaterTest:
		return "give the values themselves, or write them down with " + command
	}
	return ""
}
