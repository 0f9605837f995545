package main

import (
	"errors"

	"github.com/spf13/pflag"

	"limekeep/water/figure"
)

// numberValue is a flag that holds a number as people type it.
type numberValue struct{ to *float64 }

// numberFlag adds a flag for a number, which is 0 where it is left out.
func numberFlag(flags *pflag.FlagSet, to *float64, name, usage string) {
	flags.Var(numberValue{to}, name, usage)
}

// Set reads what stands behind the flag; pflag says where that was.
func (v numberValue) Set(text string) error {
	x, err := figure.Read(text)
	var refused *figure.ReadError
	if errors.As(err, &refused) {
		if refused.Why == "" {
			return errors.New("it is no number: write one such as 12.5")
		}
		return errors.New(refused.Why)
	}
	*v.to = x
	return nil
}

// String writes the number.
func (v numberValue) String() string {
	if v.to == nil {
		return "0"
	}
	return figure.Exact(*v.to)
}

// Type is what the help calls the value.
func (v numberValue) Type() string { return "number" }
