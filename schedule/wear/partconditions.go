package wear

import (
	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// PartConditions works out what the checks of a gauge's kind say since a day, for
// each part that they are of, by the parts' ids. A gauge follows the one that has
// moved furthest.
func PartConditions(e record.Equipment, gauge care.Gauge, checks []record.Dated[record.Measurement], since record.Date) []Condition {
	return conditions(e, gauge, checks, since)
}
