package day

import (
	"cmp"
	"slices"

	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// AwayLine is a period away as it is listed.
type AwayLine struct {
	Record int64       `json:"record"`
	From   record.Date `json:"from"`
	To     record.Date `json:"to,omitzero"` // left open where absent
	Says   string      `json:"says"`
}

// Aways lists the periods away that are known of, by the day they begin.
func (d *Day) Aways() []AwayLine {
	lines := []AwayLine{}
	for _, a := range AllAways(d.Book) {
		lines = append(lines, AwayLine{Record: a.ID, From: a.Body.From, To: a.Body.To, Says: say.Away(a.Body)})
	}
	return lines
}

// AllAways gives the periods away of the place and of each machine, by the day
// they begin.
func AllAways(book *record.Book) []record.Dated[record.Away] {
	var all []record.Dated[record.Away]
	for _, e := range book.Entries {
		if a, ok := e.Body.(record.Away); ok {
			all = append(all, record.Dated[record.Away]{ID: e.ID, On: e.Effective, Body: a})
		}
	}
	sortByFrom(all)
	return all
}

func sortByFrom(all []record.Dated[record.Away]) {
	slices.SortStableFunc(all, func(a, b record.Dated[record.Away]) int {
		return cmp.Or(cmp.Compare(a.Body.From, b.Body.From), cmp.Compare(a.ID, b.ID))
	})
}
