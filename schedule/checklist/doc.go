// Package checklist leads through a sitting that was begun: what to confirm before
// anything dangerous, the work in its order, waits that run beside it, and what has
// been done so far. A checklist is made from a planned sitting and keeps what it was
// made of, so that it does not change under the hands of whoever works by it while
// the plan does. It knows no clock: instants are given to it.
package checklist
