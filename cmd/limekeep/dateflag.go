package main

import "limekeep/schedule/record"

// dateFlags reads the first and the last day of a period.
func dateFlags(from, to string) (first, last record.Date, err error) {
	if first, err = dateFlag("--from", from); err != nil {
		return 0, 0, err
	}
	last, err = dateFlag("--to", to)
	return first, last, err
}

// dateFlag reads a date flag; empty is the zero date.
func dateFlag(name, text string) (record.Date, error) {
	if text == "" {
		return 0, nil
	}
	d, err := record.ParseDate(text)
	return d, rename(err, name)
}
