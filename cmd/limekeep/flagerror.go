package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"limekeep/schedule/record"
)

// rename names the field of an error as the person wrote it.
func rename(err error, field string) error {
	var wrong *record.FieldError
	if errors.As(err, &wrong) {
		named := *wrong
		named.Field = field
		return &named
	}
	return err
}

// nearFlag says of a flag that a command has not which it may have meant.
func nearFlag(cmd *cobra.Command, err error) error {
	named, ok := strings.CutPrefix(err.Error(), "unknown flag: --")
	if !ok {
		return err
	}
	var known []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { known = append(known, f.Name) })
	meant := ""
	if near := record.Nearest(named, known); near != "" {
		meant = "; did you mean --" + near + "?"
	}
	return fmt.Errorf("%w: \"%s --help\" lists them%s", err, cmd.CommandPath(), meant)
}

// ofFlag says in an error which flag it is of, once.
func ofFlag(err error, flag string) error {
	if errors.As(err, new(*record.FieldError)) {
		return rename(err, flag)
	}
	return fmt.Errorf("%s: %w", flag, err)
}
