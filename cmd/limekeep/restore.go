package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"limekeep/schedule/record"
	"limekeep/store"
)

func newRestore(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "restore FILE",
		Short: "Put a backup in the place of the records",
		Long: `Looks a backup over from end to end, and puts it in the place of the records if it is sound. What was
there stays beside it under another name. Task apps fetch everything anew, and every browser has to
sign in again. Stop the server first: while it runs this is refused.`,
		Example: "  limekeep restore /media/stick/limekeep-20260302-033000.db",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			path, err := a.dataFile()
			if err != nil {
				return err
			}
			if store.IsServer(path) {
				return &record.FieldError{Field: "--data", Want: "a file: what is on a PostgreSQL server is restored by its own means, such as pg_restore; \"limekeep copy\" moves a backup into an empty database"}
			}
			kept, err := store.Restore(cmd.Context(), args[0], path, nil)
			if err != nil {
				return err
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s: the backup is in place\n", path)
			if kept != "" {
				fmt.Fprintf(cmd.OutOrStdout(), "what was there before: %s\n", kept)
			}
			return nil
		},
	}
}
