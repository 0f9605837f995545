package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/schedule"
	"limekeep/schedule/advice"
	"limekeep/schedule/record"
)

func newWaterTable(_ *app) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "table FILE.csv",
		Short: "Work a table of full water analyses out",
		Long: `Works out what each water of a CSV file does when it is heated, and writes the same rows with
the answers in columns behind. A file named - is read from standard input. No records are needed.

Columns, in any order: measured_at_c, ph, ca_mg_kg, mg_mg_kg, alkalinity_mg_kg_caco3 and
temperature_c, to which the water is heated, must be there. na_mg_kg, k_mg_kg, cl_mg_kg,
so4_mg_kg, no3_mg_kg and sio2_mg_kg count as 0 in every row where the whole column is missing;
a column that is there must be filled. Any other column passes through.

Each row gets pH, ionic strength and saturation indices at temperature_c in a closed vessel, and
the calcite that would fall out closed and open to air (CO2 at 10^-3.5 atm). With a
concentration_factor a row gets what boiling it down so often leaves; with a
steady_concentration_factor (and brucite_forms, 1 or 0) the steady state of a steam boiler, 100 to
140 °C. A row that leaves a factor empty leaves those answers empty. The index of a mineral that
lacks a constituent altogether is empty too.

A column of answers that the file has already is worked out anew and overwritten in place. A bad
row is named on standard error, keeps its cells and gets no answers; the rest is written, and the
exit status is 1. A file with semicolons may use decimal commas, and gets them back.`,
		Example: `  limekeep water table waters.csv --out answers.csv`,
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			in := cmd.InOrStdin()
			if args[0] != "-" {
				file, err := os.Open(args[0])
				if err != nil {
					return fmt.Errorf("the table cannot be read: %w", err)
				}
				defer file.Close()
				in = file
			}
			note := func(text string) {
				fmt.Fprintf(cmd.ErrOrStderr(), "limekeep: %s: %s\n", args[0], text)
			}
			work := func(w io.Writer) error {
				return workWaterTable(cmd.Context(), in, w, note)
			}
			var err error
			if out == "" || out == "-" {
				err = work(cmd.OutOrStdout())
			} else {
				err = replaceFile("--out", out, work)
			}
			if err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&out, "out", "", "file to write to, whole or not at all (default: standard output)")
	return cmd
}

// badRowsError says how many rows of a table got no answers. The rest was
// written.
type badRowsError struct {
	Bad, Rows int
}

// Error counts the rows.
func (e *badRowsError) Error() string {
	return fmt.Sprintf("%d of %d rows could not be worked out; their answers are empty, the rest is written", e.Bad, e.Rows)
}

// workWaterTable reads a table of waters and writes it with its answers, row by
// row. note takes a line for each thing the owner should know. Bad rows alone
// end in a *badRowsError; any other error means that the table is not whole.
func workWaterTable(ctx context.Context, in io.Reader, out io.Writer, note func(string)) error {
	reader, err := csvfile.Open(in)
	if err != nil {
		return fmt.Errorf("the table cannot be read: %w", err)
	}
	header, err := readCells(reader)
	if errors.Is(err, io.EOF) {
		return &record.FieldError{Field: "file", Want: "a header row, then a row for each water"}
	}
	if err != nil {
		return fmt.Errorf("header: %w", err)
	}
	table, err := advice.NewWaterTable(header, reader.Separator() != ',')
	if err != nil {
		return err
	}
	if absent := table.Absent(); len(absent) > 0 {
		note(fmt.Sprintf("no column %s: taken as 0", strings.Join(absent, ", ")))
	}
	writer := csv.NewWriter(out)
	writer.Comma, writer.UseCRLF = rune(reader.Separator()), reader.CRLF()
	if err := writer.Write(table.Header()); err != nil {
		return err
	}
	bad, rows := 0, 0
	for ; ; rows++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		cells, err := readCells(reader)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil && !errors.Is(err, csvfile.ErrQuotes) {
			return fmt.Errorf("row %d cannot be read: %w", rows+1, err)
		}
		row, wrong := table.Row(cells)
		if err != nil {
			wrong = err
		}
		if wrong != nil {
			bad++
			note(oneLine(&schedule.RowError{Row: rows + 1, Err: wrong}))
		}
		if err := writer.Write(row); err != nil {
			return err
		}
	}
	writer.Flush()
	if err := writer.Error(); err != nil {
		return err
	}
	if bad > 0 {
		return &badRowsError{Bad: bad, Rows: rows}
	}
	return nil
}

// readCells returns the cells of the next record.
func readCells(reader *csvfile.Reader) ([]string, error) {
	record, err := reader.Read()
	cells := make([]string, len(record))
	for i, c := range record {
		cells[i] = string(c)
	}
	return cells, err
}
