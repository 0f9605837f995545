package plan

import "slices"

// improving is a draft that is made cheaper move by move. A move changes what is open, and
// refits whom that touches; it is kept where it gains, and taken back else.
type improving struct {
	d    *draft
	all  []int
	best [][]int
	cost float64

	weighed bool // what slots promise is that of the best
}

// weigh weighs what slots promise where the best has changed.
func (i *improving) weigh() {
	if !i.weighed {
		i.d.weigh()
		i.weighed = true
	}
}

// improve looks for moves that make the draft cheaper, as long as there are any; it gives
// up when the effort allowed is used.
func (d *draft) improve(all []int) float64 {
	i := improving{d: d, all: all, cost: d.settle(all)}
	i.best = d.copyWays()
	for gained := true; gained && !d.m.spent(); {
		before := i.cost
		i.pushes()
		i.moves()
		i.openings()
		i.merges()
		i.splits()
		i.shifts()
		i.states()
		gained = i.cost < before-1e-7
	}
	d.back(i.best)
	return i.cost
}

// try keeps what a move came to where it gains, and tells whether it does.
func (i *improving) try(cost float64) bool {
	if cost < i.cost-1e-7 {
		i.cost = cost
		i.d.copyInto(i.best)
		i.weighed = false
		return true
	}
	i.d.back(i.best)
	return false
}

// within is what a draft may cost for it to be worth settling.
func (i *improving) within() float64 { return i.cost + promising }

// opened lists the slots that have a sitting.
func (i *improving) opened() []int {
	var opened []int
	for s, n := range i.d.used[0] {
		if n > 0 {
			opened = append(opened, s)
		}
	}
	return opened
}

// pushes lets each task push others out of full slots.
func (i *improving) pushes() {
	for _, t := range i.all {
		if i.d.m.spent() {
			return
		}
		i.try(i.d.tryPush(t, i.all, i.within()+pushed))
	}
}

// moves closes sittings, and moves them to slots nearby.
func (i *improving) moves() {
	for s := range i.d.m.n {
		if i.d.used[0][s] == 0 {
			continue
		}
		for _, by := range []int{0, -1, 1, -2, 2, -3, 3} {
			to := s + by
			if to < 0 || to >= i.d.m.n || i.d.m.spent() {
				continue
			}
			if i.try(i.d.tryMove(s, to, i.all, i.within())) {
				break
			}
		}
	}
}

// openings opens sittings, and brings about states in those that are open.
func (i *improving) openings() {
	for s := range i.d.m.n {
		if i.d.m.spent() {
			return
		}
		if i.weigh(); i.d.promises(s) <= i.d.cheapest(s) {
			continue
		}
		i.try(i.d.tryInstead(nil, []int{s}, i.all, i.within()))
	}
}

// states moves what a state is brought about for in a sitting to sittings nearby, or has it
// done elsewhere.
func (i *improving) states() {
	d := i.d
	for _, s := range i.opened() {
		for k := 1; k < len(d.m.price); k++ {
			if d.m.price[k] < dearState {
				continue
			}
			for by := -2; by <= 2 && d.used[k][s] > 0; by++ {
				if d.m.spent() {
					return
				}
				to := -1
				if by != 0 {
					opened := i.opened()
					n, _ := slices.BinarySearch(opened, s)
					if n+by < 0 || n+by >= len(opened) || d.used[k][opened[n+by]] > 0 {
						continue
					}
					to = opened[n+by]
				}
				if i.try(d.tryState(k, s, to, i.all, i.within())) {
					break
				}
			}
		}
	}
}

// dearState is the least price, in minutes, of a state that is worth moving by itself. A choice
// of numerical method: below it there is less to gain than trying costs.
const dearState = 10

// merges makes one sitting between two of them.
func (i *improving) merges() {
	opened := i.opened()
	for k := 1; k < len(opened); k++ {
		a, b := opened[k-1], opened[k]
		for x := a + 1; x < b && !i.d.m.spent(); x++ {
			i.weigh()
			if i.try(i.d.tryInstead([]int{a, b}, []int{x}, i.all, i.within())) {
				break
			}
		}
	}
}

// splits makes two of one sitting, one on each side of where it was.
func (i *improving) splits() {
	opened := i.opened()
	for k := 1; k+1 < len(opened); k++ {
		before, s, after := opened[k-1], opened[k], opened[k+1]
		for x := before + 1; x < s; x++ {
			for y := s + 1; y < after && !i.d.m.spent(); y++ {
				i.weigh()
				i.try(i.d.tryInstead([]int{s}, []int{x, y}, i.all, i.within()))
			}
		}
	}
}

// shifts moves all sittings from a slot on to the next slots, or those before.
func (i *improving) shifts() {
	for s := range i.d.m.n {
		for _, by := range []int{-1, 1} {
			if i.d.m.spent() {
				return
			}
			i.try(i.d.tryShift(s, by, i.all, i.within()))
		}
	}
}

// pushed is by how much more, in minutes, a draft may be worse in which work was pushed out
// of full slots for it to be worth settling: about what a late date costs. From trials.
const pushed = 160
