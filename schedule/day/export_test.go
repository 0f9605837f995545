package day

// OutlookKey is what the kept outcomes of a day are known by.
func (d *Day) OutlookKey() any { return d.outlookKey() }
