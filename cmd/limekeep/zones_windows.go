package main

import _ "time/tzdata" // Windows has no time zones by their names
