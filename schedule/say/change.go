package say

import (
	"fmt"
	"strings"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// Changes says what the owner changed of a duty, and what would stand
// there otherwise.
func Changes(d care.Duty, since record.Date) []string {
	var says []string
	switch {
	case d.Own && strings.HasPrefix(d.Task.ID, record.AppTaskMark):
		says = append(says, "This is a task of your own, from a task app.")
	case d.Own:
		says = append(says, "This is a task of your own"+WithNote("", d.Note)+".")
	}
	for _, g := range d.Gauges {
		if g.Instead == "" {
			continue
		}
		var was []string
		for _, r := range g.Replaced {
			was = append(was, fmt.Sprintf("%s, %s (%s to %s)", r.Gauge, Amount(r.Limit.Usual, r.Unit), Bare(r.Limit.Low, r.Unit), Bare(r.Limit.High, r.Unit)))
		}
		says = append(says, fmt.Sprintf("By what you set on %s, %s figure of %s stands instead of the catalogue's: %s%s.",
			since.Long(), g.Instead, Amount(g.Limit.Usual, g.Gauge.Unit), strings.Join(was, "; "), WithNote("", d.Note)))
	}
	return says
}
