package main

// openFiles returns how many files and connections the system lets this program have
// open at a time: 0, since here none is set.
func openFiles() uint64 { return 0 }
