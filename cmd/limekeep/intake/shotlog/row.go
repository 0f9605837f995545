package shotlog

import (
	"bytes"
	"fmt"

	"limekeep/schedule/record"
)

// rawRow is what a row says beyond what is kept of it.
type rawRow struct {
	figures [lastColumn + 1]float64 // as the cells have them, by column
	at      [lastColumn + 1]int32   // the cell that holds each column, plus 1
	ratio   float64                 // g of drink to a g of coffee, 0 where not written
	milk    answer
	minute  [2]int // of the date's time and of the time's own column, -1 for none
}

// parse reads the cells of a row. It reports false for what is no row of use:
// empty cells, the header once more, sums.
func (f *Log) parse(row *record.UseRow, cells [][]byte) (taken bool, err error) {
	if !f.isUse(cells) {
		return false, nil
	}
	if len(cells) != len(f.header.columns) {
		if cells, err = f.trim(cells); err != nil {
			return false, err
		}
	}
	row.Minute, row.Shots = -1, 1
	f.raw = rawRow{minute: [2]int{-1, -1}}
	raw := &f.raw
	filled := 0
	for i, column := range f.header.columns {
		cell := bytes.TrimSpace(cells[i])
		if len(cell) == 0 {
			continue
		}
		filled++
		if c := cell[0]; (c == '=' || c == '@' || c == '#') && column != skippedColumn && formula(cell) {
			return false, formulaError(f.header.where(i), cell)
		}
		if err := f.parseCell(row, raw, column, i, cell); err != nil {
			return false, err
		}
	}
	if filled == 0 {
		return false, nil
	}
	if err := f.complete(row, raw); err != nil {
		return false, err
	}
	if f.passed.unsaid > 0 { // a row of sums has no rows of use below it, unless it says what it is
		f.row, f.line = f.passed.unsaid, f.passed.unsaidLine
		return false, &record.FieldError{Field: f.header.where(f.header.index(dateColumn)), Want: "a day in each row, or a word such as total in one that holds sums: others with days follow it"}
	}
	f.sums.add(raw.figures[:])
	return true, nil
}

// complete works out what cells say of each other.
func (f *Log) complete(row *record.UseRow, raw *rawRow) error {
	wrong := func(column columnKind, want string) error {
		return &record.FieldError{Field: f.header.where(f.header.index(column)), Want: want}
	}
	if row.Date.IsZero() {
		return wrong(dateColumn, "a day such as 2026-03-31, or with a time, 2026-03-31 07:40")
	}
	if err := f.settleMinute(row, raw); err != nil {
		return err
	}
	if raw.milk != unanswered {
		if raw.milk == yes && row.Shots > 1 {
			return &record.FieldError{Field: f.header.where(int(raw.at[steamedColumn]) - 1), Value: "yes", Want: "how many of the shots of this row got steamed milk"}
		}
		if raw.milk == yes {
			row.Steamed = row.Shots
		}
	}
	if raw.ratio > 0 {
		if err := f.applyRatio(row, raw); err != nil {
			return err
		}
	}
	if f.options.Doses == AllTogether && row.Shots > 0 {
		row.DoseGrams /= row.Shots
		row.YieldGrams /= row.Shots
	}
	if row.DoseGrams == 0 && row.Shots > 0 && !f.options.HabitDose && f.header.has(doseColumn) {
		return wrong(doseColumn, "the dry coffee in grams, or "+f.options.ways().HabitDose())
	}
	return nil
}

// applyRatio takes the yield from a brew ratio such as 1:2 where it is not
// written, and sees that both agree where it is.
func (f *Log) applyRatio(row *record.UseRow, raw *rawRow) error {
	at := int(raw.at[ratioColumn]) - 1
	if at < 0 {
		at = int(raw.at[yieldColumn]) - 1
	}
	where := f.header.where(at)
	switch {
	case row.DoseGrams == 0 && row.YieldGrams == 0:
		return nil // a ratio of nothing that is known
	case row.DoseGrams == 0:
		return &record.FieldError{Field: where, Value: fmt.Sprintf("1:%g", raw.ratio), Want: "the dose beside the ratio, or pass the column over " + f.options.ways().PassOver("")}
	case row.YieldGrams == 0:
		row.YieldGrams = row.DoseGrams * raw.ratio
	default:
		// People round a ratio to a half.
		if d := row.YieldGrams/row.DoseGrams - raw.ratio; d > 0.3 || d < -0.3 {
			return &record.FieldError{Field: where, Value: fmt.Sprintf("1:%g", raw.ratio),
				Want: fmt.Sprintf("the ratio of %g g of coffee and %g g of drink, or pass the column over %s", row.DoseGrams, row.YieldGrams, f.options.ways().PassOver(""))}
		}
	}
	return nil
}

// trim brings a row to the width of the header where it is only longer by empty
// cells.
func (f *Log) trim(cells [][]byte) ([][]byte, error) {
	width := len(f.header.columns)
	long := len(cells) > width && len(bytes.TrimSpace(bytes.Join(cells[width:], nil))) == 0
	if !long {
		want := fmt.Sprintf("%d cells, as many as the header has", width)
		if len(cells) > width && f.reader.Separator() == ',' {
			want += "; a decimal comma in a file parted by commas needs quotes around its cell"
		}
		return nil, &record.FieldError{Field: "row", Value: fmt.Sprintf("%d cells", len(cells)), Want: want}
	}
	return cells[:width], nil
}
