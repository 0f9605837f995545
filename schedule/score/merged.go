package score

import (
	"cmp"
	"encoding/json"
	"slices"
)

// Merged is the score of many places together.
type Merged struct {
	Places    int        `json:"places"`
	Twice     int        `json:"twice"` // files that were the same as one before, and count once
	Since     string     `json:"since"` // the earliest month
	Tallies   []Tally    `json:"tallies"`
	Proposals []Proposal `json:"proposals"`
}

// Merge puts the scores of many places together, in whatever order they come. The
// same score twice counts once.
func Merge(all []Shared) Merged {
	places, twice := once(all)
	m := Merged{Places: len(places), Twice: twice}
	var cases []Case
	for _, s := range places {
		if s.Since != "" && (m.Since == "" || s.Since < m.Since) {
			m.Since = s.Since
		}
		for _, c := range s.Cases {
			cases = append(cases, Case{Care: c.Care, Kind: c.Kind, Stretch: c.Stretch, Chances: make([]Chance, c.Answers), Chance: c.Chance, Score: c.Score, Maker: c.Maker})
		}
	}
	m.Tallies, m.Proposals = tallies(cases), propose(places)
	return m
}

// once drops what is there twice and puts the rest in an order of its own, so that
// sums do not depend on the order of files.
func once(all []Shared) (places []Shared, twice int) {
	type written struct {
		text string
		of   Shared
	}
	list := make([]written, len(all))
	for i, s := range all {
		text, err := json.Marshal(s)
		if err != nil {
			continue // cannot be: it was read, or is plain data
		}
		list[i] = written{string(text), s}
	}
	slices.SortFunc(list, func(a, b written) int { return cmp.Compare(a.text, b.text) })
	for i, w := range list {
		if i > 0 && w.text == list[i-1].text {
			twice++
			continue
		}
		places = append(places, w.of)
	}
	return places, twice
}
