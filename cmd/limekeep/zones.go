package main

// A small container, a stick with a rescue system and Windows have no time zones by their
// names; where the system has them, those are taken, being newer perhaps.
import _ "time/tzdata"
