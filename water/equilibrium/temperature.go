package equilibrium

import "math"

// temperatureTable is everything about the model that depends on temperature alone.
type temperatureTable struct {
	celsius float64
	a       float64 // Debye-Hückel slope for the natural logarithm, kg^½ mol^-½
	b       float64 // Debye-Hückel inverse length, kg^½ mol^-½ Å^-1
	k       [reactionMineral]float64
	lnK     [minerals]float64
	log10K  [minerals]float64
	held    [minerals]float64 // e to the power of lnK
	lnGas   float64           // natural log of the Henry constant of CO2, mol/kg/atm
	gas     float64           // that constant
}

// set fills the table for celsius.
func (th *temperatureTable) set(celsius float64) {
	a, b := debyeHueckel(celsius)
	th.celsius, th.a, th.b = celsius, a*math.Ln10, b
	p := powersOf(celsius)
	for r := range reactionMineral {
		th.k[r] = math.Exp(math.Ln10 * r.log10K(&p))
	}
	for m := range minerals {
		th.log10K[m] = (reactionMineral + Reaction(m)).log10K(&p)
		th.lnK[m] = math.Ln10 * th.log10K[m]
		th.held[m] = math.Exp(th.lnK[m])
	}
	th.lnGas = math.Ln10 * ReactionCO2Gas.log10K(&p)
	th.gas = math.Exp(th.lnGas)
}

// temperatureCache keeps the tables of the last temperatures asked for.
type temperatureCache struct {
	tables [32]temperatureTable
	used   int // how many hold a temperature
	next   int // which is overwritten next
}

// at returns the table for celsius, from the cache if it is there.
func (c *temperatureCache) at(celsius float64) *temperatureTable {
	for i := range c.used {
		if c.tables[i].celsius == celsius {
			return &c.tables[i]
		}
	}
	th := &c.tables[c.next]
	th.set(celsius)
	c.next = (c.next + 1) % len(c.tables)
	c.used = min(c.used+1, len(c.tables))
	return th
}
