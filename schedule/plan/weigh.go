package plan

// weigh works out, for each task and slot, by how much the task's way would be cheaper if
// whatever it needs in that slot were open already and there were room, all else being as it
// is: who gains nothing by a slot need not be asked when it is opened, and a slot by which
// all together gain less than it costs need not be tried.
func (d *draft) weigh() {
	m := d.m
	if d.gain == nil {
		d.gain = make([][]float64, len(m.chains))
	}
	for t := range m.chains {
		if d.gain[t] == nil {
			d.gain[t] = make([]float64, m.n)
		}
		c := &m.chains[t]
		d.tolls(t)
		spans := d.whole[t]
		if d.spans != nil {
			spans = d.spans[t]
		}
		m.looked += 2 * d.around.ways(c, spans, d.toll)
		now := d.each[t]
		for _, s := range d.ways[t] {
			now += d.toll[s]
		}
		for s := range d.gain[t] {
			d.gain[t][s] = now - (d.around.ahead[s+1] - d.toll[s] + d.around.back[s+1])
		}
	}
}

// gains reports whether a task would gain by slots that are tried as if they were open.
func (d *draft) gains(t int) bool {
	for _, s := range d.open {
		if d.gain[t][s] > 1e-9 {
			return true
		}
	}
	return false
}

// promises gives what all tasks together would gain by a slot, at the most.
func (d *draft) promises(s int) float64 {
	sum := 0.0
	for t := range d.gain {
		sum += max(0, d.gain[t][s])
	}
	return sum
}

// cheapest gives the price of the cheapest of what is not open yet in a slot; that of a
// sitting where there is none.
func (d *draft) cheapest(s int) float64 {
	if d.used[0][s] == 0 {
		return d.m.price[0]
	}
	least := noStep
	for k, used := range d.used {
		if used[s] == 0 {
			least = min(least, d.m.price[k])
		}
	}
	return least
}
