package journal

import (
	"context"
	"errors"
	"iter"
	"slices"
	"strings"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// UseImport tells what became of a file of use, or would have.
type UseImport struct {
	schedule.UseResult
	Shots         float64  `json:"shots"`                    // of all its rows
	Days          int      `json:"days"`                     // changes of the day from row to row, at least
	UnknownDrinks []string `json:"unknown_drinks,omitempty"` // names that are taken for drinks without milk
	Preview       bool     `json:"preview,omitempty"`        // nothing was written
	Replaced      bool     `json:"replaced,omitempty"`       // rows that changed took the place of those kept before

	First []record.UseRow `json:"-"` // of a preview: its first rows as they would be kept
}

// rowsShown is how many rows a preview shows.
const rowsShown = 5

// ImportUse writes a file of use down, all or nothing. The rows' dates are checked
// here; from and to of the batch come from the rows. An error of a row is a
// *RowError around what is wrong in it.
func (j *Journal) ImportUse(ctx context.Context, d *day.Day, file schedule.UseFile, rows iter.Seq2[record.UseRow, error]) (UseImport, error) {
	e, err := day.Pick(d.Book, file.Machine, "machine", func(e record.Equipment) bool { return e.Machine != nil })
	if err != nil {
		return UseImport{}, err
	}
	names := newDrinkNames(e.Machine.Habit.Drinks)
	outcome := UseImport{Preview: file.Preview, Replaced: file.Replace}
	checked := func(yield func(record.UseRow, error) bool) {
		n, last := 0, record.Date(0)
		for row, err := range rows {
			n++
			if err == nil {
				if file.Drinks {
					names.tell(&row, file)
				}
				if err = checkRow(row, d.Today, e); err != nil {
					err = &schedule.RowError{Row: n, Err: err}
				}
			}
			if err != nil {
				yield(row, err)
				return
			}
			if file.Preview && len(outcome.First) < rowsShown {
				outcome.First = append(outcome.First, row)
			}
			outcome.Shots += row.Shots
			if row.Date != last {
				outcome.Days++
				last = row.Date
			}
			if !yield(row, nil) {
				return
			}
		}
		if file.Preview {
			yield(record.UseRow{}, schedule.ErrPreview)
		}
	}
	batch := record.UseBatch{Machine: e.ID, File: file.Name,
		MilkUnsaid: file.MilkUnsaid && !file.Drinks, HotWaterUnsaid: file.HotWaterUnsaid && !file.Drinks}
	keep := j.Days.Records.AppendUse
	if file.Replace {
		keep = j.Days.Records.ReplaceUse
	}
	outcome.UseResult, err = keep(ctx, j.entry(d.Place.ID, d.Today, batch), checked)
	if file.Preview && errors.Is(err, schedule.ErrPreview) {
		err = nil
	}
	if err != nil {
		return UseImport{}, err
	}
	outcome.UnknownDrinks = names.unknown
	return outcome, nil
}

// checkRow checks a row of a file by itself and against the machine.
func checkRow(row record.UseRow, today record.Date, machine record.Equipment) error {
	if err := row.Validate(); err != nil {
		return err
	}
	if err := day.NotLater("date", row.Date, today); err != nil {
		return err
	}
	return day.NotBefore("date", row.Date, machine)
}

// drinkNames tells milk and hot water from the names of drinks.
type drinkNames struct {
	known   map[string]record.Drink
	unknown []string
	last    string // what the row before named, and what it stands for
	drink   record.Drink
}

// longBlackLitres is the hot water under or over a shot (common practice).
const longBlackLitres = 0.12

// commonDrinks are the drinks that need not be explained (common practice).
var commonDrinks = []record.Drink{
	{Name: "espresso"}, {Name: "single"}, {Name: "single espresso"}, {Name: "double"}, {Name: "double espresso"}, {Name: "doppio"},
	{Name: "ristretto"}, {Name: "lungo"}, {Name: "shot"}, {Name: "affogato"},
	{Name: "americano", HotWaterLitres: longBlackLitres}, {Name: "long black", HotWaterLitres: longBlackLitres},
	{Name: "macchiato", Steamed: true}, {Name: "espresso macchiato", Steamed: true}, {Name: "cortado", Steamed: true},
	{Name: "piccolo", Steamed: true}, {Name: "flat white", Steamed: true}, {Name: "cappuccino", Steamed: true},
	{Name: "latte", Steamed: true}, {Name: "caffè latte", Steamed: true}, {Name: "caffe latte", Steamed: true},
	{Name: "latte macchiato", Steamed: true}, {Name: "mocha", Steamed: true},
}

// mostUnknown is how many unknown names are told.
const mostUnknown = 20

func newDrinkNames(own []record.Drink) *drinkNames {
	names := &drinkNames{known: map[string]record.Drink{}}
	for _, d := range slices.Concat(commonDrinks, own) { // the owner's come last and win
		names.known[drinkKey(d.Name)] = d
	}
	return names
}

// drinkKey writes "Flat-White " and "flat white" alike.
func drinkKey(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(name, "-", " "))), " ")
}

// tell fills in what the columns of a row leave to the name of its drink.
func (n *drinkNames) tell(row *record.UseRow, file schedule.UseFile) {
	if row.Drink == "" {
		return
	}
	if row.Drink != n.last {
		drink, ok := n.known[drinkKey(row.Drink)]
		if !ok && len(n.unknown) < mostUnknown && !slices.Contains(n.unknown, row.Drink) {
			n.unknown = append(n.unknown, row.Drink)
		}
		n.last, n.drink = row.Drink, drink
	}
	if file.MilkUnsaid && n.drink.Steamed {
		row.Steamed = row.Shots
	}
	if file.HotWaterUnsaid {
		row.HotWaterLitres = n.drink.HotWaterLitres * row.Shots
	}
}
