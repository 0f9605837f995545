package wear

import (
	"limekeep/schedule/exact"
	"limekeep/schedule/record"
	"limekeep/water"
	"limekeep/water/boiler"
	"limekeep/water/inference"
	"limekeep/water/potential"
)

// KeptWaters keeps waters from one run of the program to the next: to solve them takes
// longer than all the rest of a forecast. What is kept under a key was worked out from all
// that the key tells, so that it is what would be worked out again. What a test of a
// district's water stands for is kept for the district, whose places share its draws:
// those with a line laid out alike need it solved once.
type KeptWaters interface {
	// Take returns what is kept under a key of a district, or of the place where that is
	// empty; nil for nothing.
	Take(district, key string) []byte
	// Put keeps something.
	Put(district, key string, data []byte)
}

// keptWater is a TestedWater as it is kept, without what its key tells: numbers in a row,
// since thousands of small things take longer to read.
type keptWater struct {
	On      record.Date
	Weights []float64
	Supply  []float64 // suppliedNumbers of each analysis
	Brucite []bool
	Feeds   []keptFeeds
}

// keptFeeds is what an arrangement makes of a test. Where nothing uses up there is no
// Spent: the two are the same then, down to the tables that they share.
type keptFeeds struct {
	Fresh keptFeed
	Spent *keptFeed
}

// keptFeed is totalsNumbers and potential.ClosedNumbers of each analysis.
type keptFeed struct {
	Totals []float64
	Tables []float32
}

const (
	totalsNumbers   = 10
	suppliedNumbers = totalsNumbers + 3
)

func appendTotals(numbers []float64, t *water.Totals) []float64 {
	return append(numbers, t.Calcium, t.Magnesium, t.Sodium, t.Potassium, t.Alkalinity, t.Carbon, t.Chloride, t.Sulfate, t.Nitrate, t.Silica)
}

func totalsOf(n []float64) water.Totals {
	return water.Totals{
		Calcium: n[0], Magnesium: n[1], Sodium: n[2], Potassium: n[3], Alkalinity: n[4],
		Carbon: n[5], Chloride: n[6], Sulfate: n[7], Nitrate: n[8], Silica: n[9],
	}
}

// kept returns the bytes to keep of a test.
func (tested *TestedWater) kept() ([]byte, error) {
	k := keptWater{On: tested.On, Weights: tested.set.Weights}
	for i := range tested.Supply {
		s := &tested.Supply[i]
		k.Supply = append(appendTotals(k.Supply, &s.totals), s.hardness, s.alkalinity, s.aired)
		k.Brucite = append(k.Brucite, s.brucite)
	}
	for _, f := range tested.Feeds {
		both := keptFeeds{Fresh: keptFeedOf(f.Fresh)}
		if len(f.Fresh) > 0 && f.Fresh[0].potentials != f.Spent[0].potentials {
			spent := keptFeedOf(f.Spent)
			both.Spent = &spent
		}
		k.Feeds = append(k.Feeds, both)
	}
	return exact.Append(nil, k)
}

func keptFeedOf(feeds []feedWater) keptFeed {
	k := keptFeed{Totals: make([]float64, 0, len(feeds)*totalsNumbers), Tables: make([]float32, 0, len(feeds)*potential.ClosedNumbers)}
	for i := range feeds {
		k.Totals = appendTotals(k.Totals, &feeds[i].totals)
		k.Tables = feeds[i].potentials.AppendNumbers(k.Tables)
	}
	return k
}

// testedOf makes a test again of the bytes that were kept of it; false where they are not
// such bytes.
func testedOf(data []byte) (TestedWater, bool) {
	var k keptWater
	if data == nil || exact.Read(data, &k) != nil || len(k.Brucite) != len(k.Weights) || len(k.Supply) != len(k.Weights)*suppliedNumbers {
		return TestedWater{}, false
	}
	tested := TestedWater{On: k.On, set: inference.Set{Weights: k.Weights}, Supply: make([]supplied, len(k.Brucite))}
	for i, brucite := range k.Brucite {
		n := k.Supply[i*suppliedNumbers:][:suppliedNumbers]
		rest := n[totalsNumbers:]
		tested.Supply[i] = supplied{totals: totalsOf(n), hardness: rest[0], alkalinity: rest[1], aired: rest[2], brucite: brucite}
	}
	for _, f := range k.Feeds {
		fresh, ok := f.Fresh.feeds(len(tested.Supply))
		if !ok {
			return TestedWater{}, false
		}
		both := feedWaters{Fresh: fresh, Spent: fresh}
		if f.Spent != nil {
			if both.Spent, ok = f.Spent.feeds(len(tested.Supply)); !ok {
				return TestedWater{}, false
			}
		}
		tested.Feeds = append(tested.Feeds, both)
	}
	return tested, true
}

// feeds makes the feeds of n analyses again.
func (k *keptFeed) feeds(n int) ([]feedWater, bool) {
	if len(k.Totals) != n*totalsNumbers || len(k.Tables) != n*potential.ClosedNumbers {
		return nil, false
	}
	feeds, tables := make([]feedWater, n), make([]potential.ClosedTable, n)
	for i := range feeds {
		var ok bool
		if tables[i], ok = potential.ClosedTableOf(k.Tables[i*potential.ClosedNumbers:][:potential.ClosedNumbers]); !ok {
			return nil, false
		}
		feeds[i] = feedWater{totals: totalsOf(k.Totals[i*totalsNumbers:]), potentials: &tables[i]}
	}
	return feeds, true
}

// keptColumns returns the bytes to keep of a boiler's columns.
func keptColumns(columns []boiler.Forming) ([]byte, error) {
	numbers := make([]float32, 0, len(columns)*boiler.FormingNumbers)
	for i := range columns {
		numbers = columns[i].AppendNumbers(numbers)
	}
	return exact.Append(nil, numbers)
}

// columnsOfKept makes columns again of the bytes that were kept of them, one for each
// feed; false where they are not such bytes.
func columnsOfKept(data []byte, feeds []feedWater) ([]boiler.Forming, bool) {
	var numbers []float32
	if data == nil || exact.Read(data, &numbers) != nil || len(numbers) != len(feeds)*boiler.FormingNumbers {
		return nil, false
	}
	columns := make([]boiler.Forming, len(feeds))
	for i, feed := range feeds {
		var ok bool
		if columns[i], ok = boiler.FormingOf(feed.totals, numbers[i*boiler.FormingNumbers:][:boiler.FormingNumbers]); !ok {
			return nil, false
		}
	}
	return columns, true
}
