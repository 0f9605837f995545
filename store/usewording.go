package store

import (
	"context"
	"database/sql"
	"fmt"

	"limekeep/schedule/record"
)

// wording is what a line of use says in words.
type wording struct{ grind, drink, beans, note string }

// wordingNumbers finds the number of a wording, and gives it one where it is new.
type wordingNumbers struct {
	tx   *sql.Tx
	find string // the statement that does
	held map[wording]any
	last wording // of the line before, which most often says the same
	id   any     // its number
}

// mostWordings bounds the wordings held in memory; others are looked up again.
const mostWordings = 10_000

// of returns the number of a row's words, nil where it has none.
func (w *wordingNumbers) of(ctx context.Context, r record.UseRow) (any, error) {
	words := wording{r.Grind, r.Drink, r.Beans, r.Note}
	if words == (wording{}) {
		return nil, nil
	}
	if words == w.last {
		return w.id, nil
	}
	id, ok := w.held[words]
	if !ok {
		var number int64
		// A wording that is there already is left as it is; its number is found
		// the same way.
		if _, err := w.tx.ExecContext(ctx, "INSERT INTO wording (grind, drink, beans, note) VALUES (?, ?, ?, ?) ON CONFLICT DO NOTHING",
			words.grind, words.drink, words.beans, words.note); err != nil {
			return nil, fmt.Errorf("the words of a row: %w", err)
		}
		if err := w.tx.QueryRowContext(ctx, w.find,
			words.grind, words.drink, words.beans, words.note).Scan(&number); err != nil {
			return nil, fmt.Errorf("the words of a row: %w", err)
		}
		if len(w.held) >= mostWordings {
			clear(w.held)
		}
		id = number
		w.held[words] = id
	}
	w.last, w.id = words, id
	return id, nil
}
