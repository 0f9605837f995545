// Package gate is what every request passes on its way in and out: who sends it, also by
// way of a server in front, how often wrong passwords came from there, and what is logged
// and counted of the answer.
package gate
