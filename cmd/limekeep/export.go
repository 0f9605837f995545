package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/store"
)

func newExport(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "export [FILE]",
		Short: "Write all records as JSON lines",
		Long: `Writes all records and rows of use as JSON, one a line, to a new FILE or the standard output: for
other programs to read, and for "limekeep import", which makes the same records of it again.
Passwords and secret addresses are not in it; a backup has them.`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
				if len(args) == 0 || args[0] == "-" {
					wrote, err := h.db.Export(ctx, cmd.OutOrStdout())
					if err != nil {
						return err
					}
					return tellExport(cmd.ErrOrStderr(), "the standard output", wrote)
				}
				var wrote store.Exported
				err := writeNew(args[0], func(to io.Writer) (err error) {
					wrote, err = h.db.Export(ctx, to)
					return err
				})
				if err != nil {
					return err
				}
				return tellExport(cmd.OutOrStdout(), args[0], wrote)
			})
		},
	}
}

// tellExport says how much went where.
func tellExport(w io.Writer, where string, wrote store.Exported) error {
	_, err := fmt.Fprintf(w, "%s: records: %d, rows of use: %d\n", where, wrote.Records, wrote.Rows)
	return err
}

// writeNew writes a new file, whole or not at all, for its owner alone.
func writeNew(path string, write func(io.Writer) error) error {
	file, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	err = write(file)
	if syncErr := file.Sync(); err == nil {
		err = syncErr
	}
	if closeErr := file.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		_ = os.Remove(path)
	}
	return err
}

func newImport(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "import FILE",
		Short:   "Make records of an export",
		Long:    "Takes what \"limekeep export\" wrote into a new file of records, all of it or nothing. A FILE named -\nis the standard input.",
		Example: "  limekeep import kitchen.jsonl --data new.db",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			from := cmd.InOrStdin()
			if args[0] != "-" {
				file, err := os.Open(args[0])
				if err != nil {
					return err
				}
				defer file.Close()
				from = file
			}
			n, err := a.importInto(cmd, from)
			if err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			fmt.Fprintf(cmd.OutOrStdout(), "records: %d\n", n)
			return nil
		},
	}
}

// importInto takes an export into a new file or, where there is one or it is a server, into the
// records there if they are empty.
func (a *app) importInto(cmd *cobra.Command, from io.Reader) (n int64, err error) {
	path, err := a.dataFile()
	if err != nil {
		return 0, err
	}
	if !store.IsServer(path) && isMissing(path) {
		return store.ImportFile(cmd.Context(), path, from, nil)
	}
	err = a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
		n, err = h.db.Import(ctx, from)
		return err
	})
	return n, err
}
