package wear

import (
	"limekeep/schedule/exact"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/boiler"
	"limekeep/water/inference"
	"limekeep/water/potential"
)

// KeptWaters keeps the waters of a place from one run of the program to the next: to solve
// them takes longer than all the rest of a forecast. What is kept under a key was worked
// out from all that the key tells, so that it is what would be worked out again.
type KeptWaters interface {
	// Take returns what is kept under a key; nil for nothing.
	Take(key string) []byte
	// Put keeps something.
	Put(key string, data []byte)
}

// keptWater is a TestedWater as it is kept, without what its key tells.
type keptWater struct {
	On      record.Date
	Weights []float64
	Supply  []keptSupply
	Feeds   []keptFeeds
}

type keptSupply struct {
	Totals               water.Totals
	Hardness, Alkalinity float64
	Aired                float64
	Brucite              bool
}

// keptFeeds is what an arrangement makes of a test. Where nothing uses up there is no
// Spent: the two are the same then, down to the tables that they share.
type keptFeeds struct{ Fresh, Spent []keptFeed }

type keptFeed struct {
	Totals water.Totals
	Table  []float64
}

// kept returns the bytes to keep of a test.
func (tested *TestedWater) kept() ([]byte, error) {
	k := keptWater{On: tested.On, Weights: tested.set.Weights}
	for _, s := range tested.Supply {
		k.Supply = append(k.Supply, keptSupply{s.totals, s.hardness, s.alkalinity, s.aired, s.brucite})
	}
	for _, f := range tested.Feeds {
		both := keptFeeds{Fresh: keptFeedsOf(f.Fresh)}
		if len(f.Fresh) > 0 && f.Fresh[0].potentials != f.Spent[0].potentials {
			both.Spent = keptFeedsOf(f.Spent)
		}
		k.Feeds = append(k.Feeds, both)
	}
	return exact.Append(nil, k)
}

func keptFeedsOf(feeds []feedWater) []keptFeed {
	kept := make([]keptFeed, len(feeds))
	for i, f := range feeds {
		kept[i] = keptFeed{f.totals, f.potentials.Numbers()}
	}
	return kept
}

// testedOf makes a test again of the bytes that were kept of it; false where they are not
// such bytes.
func testedOf(data []byte) (TestedWater, bool) {
	var k keptWater
	if data == nil || exact.Read(data, &k) != nil || len(k.Weights) != len(k.Supply) {
		return TestedWater{}, false
	}
	tested := TestedWater{On: k.On, set: inference.Set{Weights: k.Weights}}
	for _, s := range k.Supply {
		tested.Supply = append(tested.Supply, supplied{totals: s.Totals, hardness: s.Hardness, alkalinity: s.Alkalinity, aired: s.Aired, brucite: s.Brucite})
	}
	for _, f := range k.Feeds {
		fresh, ok := feedsOf(f.Fresh, len(k.Supply))
		if !ok {
			return TestedWater{}, false
		}
		both := feedWaters{Fresh: fresh, Spent: fresh}
		if f.Spent != nil {
			if both.Spent, ok = feedsOf(f.Spent, len(k.Supply)); !ok {
				return TestedWater{}, false
			}
		}
		tested.Feeds = append(tested.Feeds, both)
	}
	return tested, true
}

func feedsOf(kept []keptFeed, n int) ([]feedWater, bool) {
	feeds := make([]feedWater, len(kept))
	for i, k := range kept {
		table, ok := potential.ClosedTableOf(k.Table)
		if !ok {
			return nil, false
		}
		feeds[i] = feedWater{totals: k.Totals, potentials: &table}
	}
	return feeds, len(feeds) == n
}

// keptColumns returns the bytes to keep of a boiler's columns.
func keptColumns(columns []boiler.Column) ([]byte, error) {
	var numbers [][]float64
	for i := range columns {
		numbers = append(numbers, columns[i].Numbers())
	}
	return exact.Append(nil, numbers)
}

// columnsOfKept makes columns again of the bytes that were kept of them, one for each
// feed; false where they are not such bytes.
func columnsOfKept(data []byte, feeds []feedWater) ([]boiler.Column, bool) {
	var numbers [][]float64
	if data == nil || exact.Read(data, &numbers) != nil || len(numbers) != len(feeds) {
		return nil, false
	}
	columns := make([]boiler.Column, len(feeds))
	for i, feed := range feeds {
		var ok bool
		if columns[i], ok = boiler.ColumnOf(feed.totals, numbers[i]); !ok {
			return nil, false
		}
	}
	return columns, true
}
