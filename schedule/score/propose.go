package score

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"limekeep/schedule/record"
	"limekeep/schedule/wear"
	"limekeep/water/figure"
)

// Proposal is what the findings of many places say of one limit of the catalogue.
type Proposal struct {
	Care     string             `json:"care"`
	Gauge    string             `json:"gauge"`
	Unit     string             `json:"unit"`
	Limit    figure.Percentiles `json:"limit"` // as it stands
	Places   int                `json:"places"`
	Findings int                `json:"findings"`
	Shift    figure.Percentiles `json:"shift"`    // factor on the limit: the middle of what is known of it, and the 5 and 95 % points
	Refused  string             `json:"refused"`  // why nothing is proposed; empty where something is
	Proposed figure.Percentiles `json:"proposed"` // zero where refused
}

// What a limit of the catalogue takes to be changed, and what is known beforehand of
// its shift. Assumptions: ten kitchens are the least that are no neighbourhood; a
// shift known to within a factor of two helps nobody; most of the catalogue's limits
// are thought to be right within a factor of two.
const (
	leastPlaces   = 10
	leastFindings = 30
	mostUnsure    = 2.0
	shiftLogSD    = 0.5
)

// The grid of shifts, and how finely levels are cut. Choices of numerical method.
const (
	shiftReach  = 1.6
	shiftPoints = 65
	levelShares = 12
	readReach   = 9.0 // of the logarithm of a reading
	readPoints  = 361
)

// propose says what findings say of each limit that they are about, by task.
func propose(places []Shared) []Proposal {
	type key struct {
		care, gauge, unit string
		limit             figure.Percentiles
	}
	found := map[key]map[int][]SharedFound{} // then by place
	for i, s := range places {
		for _, f := range s.Evidence {
			k := key{f.Care, f.Gauge, f.Unit, f.Limit}
			if found[k] == nil {
				found[k] = map[int][]SharedFound{}
			}
			found[k][i] = append(found[k][i], f)
		}
	}
	all := []Proposal{}
	for k, by := range found {
		p := Proposal{Care: k.care, Gauge: k.gauge, Unit: k.unit, Limit: k.limit, Places: len(by)}
		var weights [shiftPoints]float64
		for i := range weights {
			z := shiftAt(i) / shiftLogSD
			weights[i] = -z * z / 2
		}
		eyes := eyesOf{}
		for i := range places { // in their order, so that sums are the same each time
			if f := by[i]; len(f) > 0 {
				p.Findings += len(f)
				for s, log := range eyes.place(f) {
					weights[s] += log
				}
			}
		}
		p.conclude(weights)
		all = append(all, p)
	}
	slices.SortFunc(all, func(a, b Proposal) int {
		return cmp.Or(cmp.Compare(a.Care, b.Care), cmp.Compare(a.Gauge, b.Gauge), cmp.Compare(a.Unit, b.Unit), cmp.Compare(a.Limit.Likely, b.Limit.Likely),
			cmp.Compare(a.Limit.Low, b.Limit.Low), cmp.Compare(a.Limit.High, b.Limit.High))
	})
	return all
}

// shiftAt is the logarithm of a shift of the grid.
func shiftAt(i int) float64 { return shiftReach * (2*float64(i)/(shiftPoints-1) - 1) }

// conclude says what the shift is, and whether it is known well enough.
func (p *Proposal) conclude(logWeights [shiftPoints]float64) {
	most := slices.Max(logWeights[:])
	shifts, weights := make([]float64, shiftPoints), make([]float64, shiftPoints)
	for i := range weights {
		shifts[i], weights[i] = shiftAt(i), math.Exp(logWeights[i]-most)
	}
	w := figure.NewWeighted(shifts, weights)
	p.Shift = figure.Percentiles{Low: math.Exp(w.Quantile(0.05)), Likely: math.Exp(w.Quantile(0.5)), High: math.Exp(w.Quantile(0.95))}
	switch {
	case p.Places < leastPlaces || p.Findings < leastFindings:
		p.Refused = fmt.Sprintf("too thin: it takes %d places with %d findings among them", leastPlaces, leastFindings)
	case p.Shift.Low <= 1 && p.Shift.High >= 1:
		p.Refused = "it stands: the findings agree with it"
	case p.Shift.High/p.Shift.Low > mostUnsure:
		p.Refused = "too unsure: the shift is not known within a factor of two"
	default:
		p.Proposed = figure.Percentiles{Low: twoDigits(p.Limit.Low * p.Shift.Likely), Likely: twoDigits(p.Limit.Likely * p.Shift.Likely), High: twoDigits(p.Limit.High * p.Shift.Likely)}
	}
}

func twoDigits(x float64) float64 {
	if x <= 0 {
		return 0
	}
	scale := math.Pow(10, 1-math.Floor(math.Log10(x)))
	return math.Round(x*scale) / scale
}

// eyesOf remembers how likely a finding is by the logarithm of what is found, over a
// grid of readings.
type eyesOf map[record.Finding]*eyeTable

type eyeTable [readPoints]float64

// of returns the table of a finding, by the logarithm of a part's reading or of a
// layer's mm. One finding in twenty is a mistake, so that none forces anything.
func (e eyesOf) of(kind wear.ExpectedOf, found record.Finding) *eyeTable {
	table := e[found]
	if table == nil {
		table = new(eyeTable)
		for i := range table {
			x := math.Exp(readReach * (2*float64(i)/(readPoints-1) - 1))
			if kind == wear.ExpectedScale {
				table[i] = (1-mistaken)*wear.ScaleShares(x)[slices.Index(record.ScaleFindings(), string(found))] + mistaken/4
			} else {
				table[i] = (1-mistaken)*wear.PartShares(x)[slices.Index(record.PartFindings(), string(found))] + mistaken/3
			}
		}
		e[found] = table
	}
	return table
}

// at looks a logarithm up.
func (t *eyeTable) at(log float64) float64 {
	at := min(max((log+readReach)*((readPoints-1)/(2*readReach)), 0), readPoints-1)
	i := min(int(at), readPoints-2)
	return t[i] + (at-float64(i))*(t[i+1]-t[i])
}

// place returns how well each shift explains what one place found: the logarithm of
// a mean over what its things have in common and each part has of its own, and over
// how much had gathered. However much one place has found, its own level stands
// between it and the shift, so that it cannot speak for all.
func (e eyesOf) place(found []SharedFound) [shiftPoints]float64 {
	var logs [shiftPoints]float64
	amounts := []float64{0.1, 0.3, 0.5, 0.7, 0.9}
	if found[0].Kind == wear.ExpectedScale {
		byThing := map[int][]SharedFound{}
		for _, f := range found {
			byThing[f.Thing] = append(byThing[f.Thing], f)
		}
		for s := range logs {
			for thing := range mostThing(found) + 1 {
				of := byThing[thing]
				if len(of) == 0 {
					continue
				}
				sum := 0.0
				for i := range levelShares {
					log := math.Log(found[0].Limit.At((float64(i)+0.5)/levelShares)) + shiftAt(s)
					for _, share := range amounts {
						likelihood := 1.0
						for _, f := range of {
							likelihood *= e.scale(f, logAmount(f, share)+log)
						}
						sum += likelihood
					}
				}
				logs[s] += math.Log(max(sum/float64(levelShares*len(amounts)), math.SmallestNonzeroFloat64))
			}
		}
		return logs
	}
	normals := make([]float64, levelShares)
	for i := range normals {
		normals[i] = figure.NormalQuantile((float64(i) + 0.5) / levelShares)
	}
	limit := func(z float64) float64 { return math.Log(found[0].Limit.At(figure.NormalBelow(z))) }
	limits := make([]float64, levelShares*levelShares)
	for c, common := range normals {
		for o, own := range normals {
			limits[c*levelShares+o] = limit((common + own) / math.Sqrt2)
		}
	}
	type look struct {
		table  *eyeTable
		amount float64 // its logarithm
	}
	parts := partsOf(found)
	for s := range logs {
		sum := 0.0
		for _, share := range amounts {
			looks := make([][]look, len(parts))
			for p, of := range parts {
				for _, f := range of {
					looks[p] = append(looks[p], look{e.of(f.Kind, f.Found), logAmount(f, share) - shiftAt(s)})
				}
			}
			for c := range normals {
				product := 1.0
				for _, of := range looks {
					mean := 0.0
					for _, limit := range limits[c*levelShares : (c+1)*levelShares] {
						likelihood := 1.0
						for _, f := range of {
							likelihood *= f.table.at(f.amount - limit)
						}
						mean += likelihood / levelShares
					}
					product *= mean
				}
				sum += product
			}
		}
		logs[s] = math.Log(max(sum, math.SmallestNonzeroFloat64))
	}
	return logs
}

// scale returns how likely a finding of scale is, by the logarithm of the grams.
func (e eyesOf) scale(f SharedFound, logGrams float64) float64 {
	likelihood := 1.0
	if f.Found != "" {
		likelihood *= e.of(f.Kind, f.Found).at(logGrams + math.Log(f.EyeMM))
	}
	if f.Grams > 0 {
		z := (math.Log(f.Grams) - logGrams) / wear.ScaleGramsLogSD
		likelihood *= (1-mistaken)*math.Exp(-z*z/2) + mistaken
	}
	return likelihood
}

// logAmount is the logarithm of what had gathered, at a share of what is known of it.
func logAmount(f SharedFound, share float64) float64 {
	a := f.Amount
	a.Low = max(a.Low, leastAmount)
	a.Likely, a.High = max(a.Likely, a.Low), max(a.High, a.Low)
	return math.Log(a.At(share))
}

// partsOf puts findings of the same part together, in their order.
func partsOf(found []SharedFound) [][]SharedFound {
	type part struct{ thing, number int }
	var order []part
	by := map[part][]SharedFound{}
	for _, f := range found {
		p := part{f.Thing, f.Part}
		if by[p] == nil {
			order = append(order, p)
		}
		by[p] = append(by[p], f)
	}
	all := make([][]SharedFound, len(order))
	for i, p := range order {
		all[i] = by[p]
	}
	return all
}

func mostThing(found []SharedFound) int {
	most := 0
	for _, f := range found {
		most = max(most, f.Thing)
	}
	return most
}
