// Package sample is for the tests of the rooms: invented places, records kept in
// memory as a store must keep them, and short ways to ask what tests ask often.
package sample
