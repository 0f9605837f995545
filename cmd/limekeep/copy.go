package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"limekeep/schedule/record"
	"limekeep/store"
)

func newCopy(*app) *cobra.Command {
	var from, to string
	cmd := &cobra.Command{
		Use:   "copy --from FILE --to postgres://…",
		Short: "Move all records from a file to a PostgreSQL server, or back",
		Long: `Takes everything along: records with their numbers and times to the byte, use, passwords, the secret
address of the calendar and what task apps were shown, so that nobody who subscribes notices. All is
read back and compared before it counts; where there are records already it is refused. What it is
taken from stays as it is: stop the server first, since what is written afterwards is not in it.`,
		Example: `  limekeep copy --from kitchen.db --to 'postgres:///limekeep?host=/run/postgresql'
  limekeep copy --from postgres://limekeep@db.example.org/limekeep --to kitchen.db`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			ctx := cmd.Context()
			switch {
			case from == "":
				return &record.FieldError{Field: "--from", Want: "the file or the address of the records"}
			case to == "":
				return &record.FieldError{Field: "--to", Want: "a file that is not there yet, or the address of an empty database"}
			}
			if err := errors.Join(fileOrServer("--from", from), fileOrServer("--to", to)); err != nil {
				return err
			}
			if !store.IsServer(from) {
				if _, err := os.Stat(from); err != nil {
					return &record.FieldError{Field: "--from", Value: from, Want: "the file of the records, since this one cannot be read"}
				}
			}
			source, err := store.Open(ctx, from, nil)
			if err != nil {
				return err
			}
			defer source.Close()
			target, err := store.Open(ctx, to, nil)
			if err != nil {
				return err
			}
			defer target.Close()
			done, err := store.Copy(ctx, source, target)
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "records: %d\nlines of use: %d\nall of them were read back from %s and are the same\n", done.Records, done.Lines, target.Path())
			return nil
		},
	}
	cmd.Flags().StringVar(&from, "from", "", "file or address of the records")
	cmd.Flags().StringVar(&to, "to", "", "new file, or address of an empty database")
	return cmd
}
