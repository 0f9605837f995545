package wear

import (
	"math"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// leastRefreshDays is how far apart the refreshings of a steam boiler lie at
// least. It is work on a hot boiler, so never a routine: what a fortnight is too
// long for is the water's fault, and another water is what helps. It is the low
// limit of common practice for a bar, where the water is changed for its taste.
const leastRefreshDays = 14

// notBefore keeps the refreshing of a steam boiler, last done on a day, from
// coming too soon. A boiler holds at least what its feed brings: where that alone
// is beyond a limit, no refreshing gets below it, and the further it is beyond the
// less a refreshing can do for it. So the least time apart grows with the square
// of it (assumption), until other limits, such as that for taste, come first.
func (g *dutyGauge) notBefore(due record.Date, world int, last record.Date) record.Date {
	if g.kind != care.Dissolved || due == never {
		return due
	}
	beyond := max(1, g.Reading(g.Start(world, Service{})))
	days := leastRefreshDays * beyond * beyond
	if days > 366*HorizonYears {
		return never
	}
	return max(due, last+record.Date(math.Ceil(days)))
}
