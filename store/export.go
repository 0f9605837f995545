package store

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"

	"limekeep/schedule/record"
)

// exportVersion counts the changes of the lines of an export that a reader has to know.
const exportVersion = 1

// exportHead is the first line of an export.
type exportHead struct {
	Version int `json:"limekeep_export"`
}

// exportRecord is the line of a record. Its body is as it was written.
type exportRecord struct {
	ID        int64  `json:"record"`
	Place     string `json:"place"`
	Kind      string `json:"kind"`
	Effective string `json:"effective"`
	Entered   string `json:"entered"`
	Source    string `json:"source"`
	Body      string `json:"body"`
}

// exportDrawn is the line of a row of use, by the record of its batch.
type exportDrawn struct {
	Batch    int64          `json:"row_of"`
	Day      int64          `json:"day"` // from the last day of the year 0
	Minute   int64          `json:"minute"`
	Ordinal  int64          `json:"ordinal"`
	Amounts  [6]float64     `json:"amounts"` // shots, dose and yield in grams, seconds, steamed, litres of hot water
	Wordings *exportWording `json:"wording,omitempty"`
}

// exportWording is what a row says in words.
type exportWording struct {
	Grind string `json:"grind"`
	Drink string `json:"drink"`
	Beans string `json:"beans"`
	Note  string `json:"note"`
}

// exportEnd is the last line: an export that was cut off has none.
type exportEnd struct {
	Records int64  `json:"records"`
	Rows    int64  `json:"rows"`
	Sum     string `json:"sha256"` // of all lines before it
}

// ErrExport is at the root of every error about lines that are no export.
var ErrExport = errors.New("not a whole export")

// Exported is how much an export holds.
type Exported struct{ Records, Rows int64 }

// Export writes all records and rows of use as JSON lines (a value a line), as they are
// at one moment: what Import makes the same records of, to the last byte. Secrets,
// passwords and what task apps were shown are no records and are not in it.
func (db *DB) Export(ctx context.Context, to io.Writer) (Exported, error) {
	buffer := bufio.NewWriter(to)
	sum := sha256.New()
	lines := json.NewEncoder(io.MultiWriter(buffer, sum))
	lines.SetEscapeHTML(false)
	var end exportEnd
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		end = exportEnd{}
		if err := lines.Encode(exportHead{exportVersion}); err != nil {
			return err
		}
		err := each(ctx, tx, func(rows *sql.Rows) error {
			var r rawRow
			if err := r.scan(rows); err != nil {
				return err
			}
			end.Records++
			return lines.Encode(exportRecord{r.id, r.place, r.kind, r.effective, r.entered, r.source, r.body})
		}, "SELECT "+rawColumns+" FROM record r ORDER BY r.id")
		if err != nil {
			return err
		}
		err = each(ctx, tx, func(rows *sql.Rows) error {
			d := exportDrawn{}
			var grind, drink, beans, note sql.NullString
			a := &d.Amounts
			if err := rows.Scan(&d.Batch, &d.Day, &d.Minute, &d.Ordinal, &a[0], &a[1], &a[2], &a[3], &a[4], &a[5], &grind, &drink, &beans, &note); err != nil {
				return err
			}
			if grind.Valid {
				d.Wordings = &exportWording{grind.String, drink.String, beans.String, note.String}
			}
			end.Rows++
			return lines.Encode(d)
		}, `SELECT d.record_id, d.day, d.minute, d.ordinal, d.shots, d.dose_g, d.yield_g, d.seconds, d.steamed, d.hot_water_l, w.grind, w.drink, w.beans, w.note
			FROM drawn d LEFT JOIN wording w ON w.id = d.wording ORDER BY d.record_id, d.day, d.minute, d.ordinal`)
		if err != nil {
			return err
		}
		end.Sum = hex.EncodeToString(sum.Sum(nil))
		return lines.Encode(end)
	})
	return Exported{end.Records, end.Rows}, errors.Join(err, buffer.Flush())
}

// longestExportLine bounds a line of an export: the longest record is a publication of
// some hundred kilobytes (assumption).
const longestExportLine = 16 << 20

// Import takes an export into records that are empty yet, all of it or nothing. Lines
// that are no whole export match ErrExport.
func (db *DB) Import(ctx context.Context, from io.Reader) (records int64, err error) {
	err = db.inWrite(ctx, func(tx *sql.Tx) error {
		var there bool
		if err := tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM record)").Scan(&there); err != nil {
			return err
		}
		if there {
			return fmt.Errorf("the records in %s are not empty; an export is taken into a new file: name one with --data", db.path)
		}
		i := &importing{tx: tx, sum: sha256.New(), wordings: map[exportWording]int64{}}
		if err := i.lines(ctx, from); err != nil {
			return err
		}
		if err := keepAllSums(ctx, db.engine, tx); err != nil {
			return err
		}
		records = i.records
		return nil
	})
	return records, err
}

// importing takes the lines of an export.
type importing struct {
	tx            *sql.Tx
	sum           hash.Hash
	records, rows int64
	wordings      map[exportWording]int64
	began, ended  bool
}

func (i *importing) lines(ctx context.Context, from io.Reader) error {
	scanner := bufio.NewScanner(from)
	scanner.Buffer(make([]byte, 0, 64<<10), longestExportLine)
	n := 0
	for scanner.Scan() {
		n++
		line := scanner.Bytes()
		if len(bytes.TrimSpace(line)) == 0 && i.ended {
			continue
		}
		if i.ended {
			return fmt.Errorf("line %d: %w: more follows on its end", n, ErrExport)
		}
		if err := i.line(ctx, line); err != nil {
			return fmt.Errorf("line %d: %w", n, err)
		}
		i.sum.Write(line)
		i.sum.Write([]byte{'\n'})
	}
	if err := scanner.Err(); err != nil {
		return fmt.Errorf("line %d: %w", n+1, err)
	}
	if !i.ended {
		return fmt.Errorf("line %d: %w: its end is missing, so it was cut off", n+1, ErrExport)
	}
	return nil
}

func (i *importing) line(ctx context.Context, line []byte) error {
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(line, &keys); err != nil {
		return fmt.Errorf("%w: no JSON object: %w", ErrExport, err)
	}
	has := func(key string) bool { _, ok := keys[key]; return ok }
	switch {
	case !i.began:
		var head exportHead
		if err := json.Unmarshal(line, &head); err != nil || head.Version != exportVersion {
			return fmt.Errorf("%w of a kind that this program knows: it begins with {\"limekeep_export\":%d}", ErrExport, exportVersion)
		}
		i.began = true
		return nil
	case has("record"):
		return i.record(ctx, line)
	case has("row_of"):
		return i.row(ctx, line)
	case has("sha256"):
		var end exportEnd
		if err := json.Unmarshal(line, &end); err != nil {
			return fmt.Errorf("%w: %w", ErrExport, err)
		}
		if end.Records != i.records || end.Rows != i.rows || end.Sum != hex.EncodeToString(i.sum.Sum(nil)) {
			return fmt.Errorf("%w: its sum is another, so something in it was changed or lost", ErrExport)
		}
		i.ended = true
		return nil
	}
	return fmt.Errorf("%w: neither a record nor a row of use", ErrExport)
}

func (i *importing) record(ctx context.Context, line []byte) error {
	var r exportRecord
	if err := json.Unmarshal(line, &r); err != nil {
		return fmt.Errorf("%w: %w", ErrExport, err)
	}
	body, err := record.Decode(record.Kind(r.Kind), []byte(r.Body))
	if err != nil {
		return err
	}
	if err := body.Validate(); err != nil && record.Kind(r.Kind) != record.KindPublication {
		return err
	}
	if _, err := i.tx.ExecContext(ctx, "INSERT INTO record (id, place, kind, effective, entered, source, body) VALUES (?, ?, ?, ?, ?, ?, ?)",
		r.ID, r.Place, r.Kind, r.Effective, r.Entered, r.Source, r.Body); err != nil {
		return fmt.Errorf("record %d: %w", r.ID, err)
	}
	i.records++
	return keepChecksum(ctx, i.tx, r.ID, checksumOf(r.ID, r.Place, r.Kind, r.Effective, r.Entered, r.Source, r.Body))
}

func (i *importing) row(ctx context.Context, line []byte) error {
	var d exportDrawn
	if err := json.Unmarshal(line, &d); err != nil {
		return fmt.Errorf("%w: %w", ErrExport, err)
	}
	var wording any
	if d.Wordings != nil {
		id, ok := i.wordings[*d.Wordings]
		if !ok {
			w := d.Wordings
			if err := i.tx.QueryRowContext(ctx, "INSERT INTO wording (grind, drink, beans, note) VALUES (?, ?, ?, ?) RETURNING id", w.Grind, w.Drink, w.Beans, w.Note).Scan(&id); err != nil {
				return err
			}
			i.wordings[*w] = id
		}
		wording = id
	}
	a := d.Amounts
	if _, err := i.tx.ExecContext(ctx, insertDrawn(1), d.Batch, d.Day, d.Minute, d.Ordinal, a[0], a[1], a[2], a[3], a[4], a[5], wording); err != nil {
		return fmt.Errorf("a row of record %d: %w", d.Batch, err)
	}
	i.rows++
	return nil
}
