package wear

import "limekeep/schedule/care"

// cumulative is what a part has been exposed to since the forecast's first day:
// cumulative[k] is all up to knot k.
type cumulative []care.Exposure

// add lays one step on top of the total.
func (c cumulative) add(step int, e care.Exposure) { c[step+1].SetSum(&c[step], &e) }

// step returns what one step brought.
func (c cumulative) step(i int) care.Exposure { return c[i+1].Minus(c[i]) }

// from returns all from one knot to a later one.
func (c cumulative) from(knot, to int) care.Exposure { return c[to].Minus(c[knot]) }
