package day

// OutlookKey is what the kept outcomes of a day are known by.
func (d *Day) OutlookKey() any { return d.outlookKey() }

// Effort is how many steps the search for the day's plan may take.
func (d *Day) Effort() int { return d.effort() }
