// Package journal writes down what people say: how a place is set up, water tests,
// use, services, condition checks, times away, what is in the cupboard, where a
// task is wanted, what was wrong, and what task apps tick off. All is checked
// against the opened day it is said on, kept as a record, and answered with what it
// changed.
package journal
