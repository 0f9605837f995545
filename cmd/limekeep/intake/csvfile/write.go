package csvfile

import (
	"encoding/csv"
	"io"
	"iter"
)

// Write writes a table as RFC 4180 has it: a heading, and rows with no cell that a
// spreadsheet reads as a formula. A row is not used any more once the next is asked for.
func Write(w io.Writer, heading []string, rows iter.Seq[[]string]) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	_ = out.Write(heading) // Error tells of all writes
	var cells []string
	for row := range rows {
		cells = cells[:0]
		for _, cell := range row {
			cells = append(cells, Plain(cell))
		}
		_ = out.Write(cells)
	}
	out.Flush()
	return out.Error()
}
