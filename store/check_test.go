package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"limekeep/schedule/record"
)

func TestCheckFinds(t *testing.T) { onEach(t, testCheckFinds) }

func testCheckFinds(t *testing.T, open opener) {
	for _, test := range []struct {
		name string
		harm []string
		want string
	}{
		{"nothing", nil, ""},
		{"a row that belongs to nothing", []string{"free",
			"INSERT INTO drawn VALUES (99, 1, 1, 0, 1, 0, 0, 0, 0, 0, NULL)", "bound"}, "drawn belongs to no record"},
		{"words that are gone", []string{"free", "DROP TRIGGER wording_no_delete ON wording", "DELETE FROM wording", "bound"}, "drawn belongs to no wording"},
		{"a lost row", []string{"DROP TRIGGER drawn_no_delete ON drawn", "DELETE FROM drawn WHERE minute = 481"}, "is a batch of 3 rows of use and has 2"},
		{"a changed row", []string{"DROP TRIGGER drawn_no_update ON drawn", "UPDATE drawn SET shots = 9 WHERE minute = 481"}, "daily sums of record 2"},
		{"a changed body", []string{"DROP TRIGGER record_no_update ON record", `UPDATE record SET body = '{"task": []}' WHERE id = 1`}, "record 1: "},
		{"a flipped bit in the form of a table", []string{"ALTER TABLE record RENAME COLUMN source TO sourcg"}, "column source of record is not there"},
		{"a watch that is gone", []string{"DROP TRIGGER record_no_update ON record"}, "trigger record_no_update is not there"},
		{"a body that is no JSON", []string{"DROP TRIGGER record_no_update ON record", "unchecked",
			"UPDATE record SET body = 'x' WHERE id = 1"}, "record 1: "},
	} {
		t.Run(test.name, func(t *testing.T) {
			db := open(t)
			ctx := context.Background()
			mustAppend(t, db, entry(day(1), record.Service{Task: "t"}))
			mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shot(day(2), 480), shot(day(2), 481), worded(shot(day(3), 480), "5", "latte"))
			for _, statement := range test.harm {
				if _, err := db.write.ExecContext(ctx, harming(db, statement)); err != nil {
					t.Fatal(err)
				}
			}
			err := db.Check(ctx)
			if test.want == "" {
				if err != nil {
					t.Error(err)
				}
				return
			}
			var damage *DamageError
			if !errors.Is(err, ErrDamaged) || !errors.As(err, &damage) || damage.Path != db.Path() {
				t.Fatalf("error %v, want one that matches ErrDamaged", err)
			}
			if strings.Contains(err.Error(), "SQL") || strings.Contains(err.Error(), "(1)") {
				t.Errorf("in words of the database: %v", err)
			}
			if !strings.Contains(strings.Join(damage.Found, "\n"), test.want) {
				t.Errorf("found %q, want %q", damage.Found, test.want)
			}
		})
	}
}

// harming writes a statement of harm as each database has it.
func harming(db *DB, statement string) string {
	if db.OnServer() {
		switch statement {
		case "free":
			return "SET session_replication_role = replica"
		case "bound":
			return "SET session_replication_role = origin"
		case "unchecked":
			return "ALTER TABLE record DROP CONSTRAINT record_body_check"
		}
		return statement
	}
	switch statement {
	case "free":
		return "PRAGMA foreign_keys = 0"
	case "bound":
		return "PRAGMA foreign_keys = 1"
	case "unchecked":
		return "PRAGMA ignore_check_constraints = 1"
	}
	if trigger, ok := strings.CutPrefix(statement, "DROP TRIGGER "); ok {
		trigger, _, _ = strings.Cut(trigger, " ON ")
		return "DROP TRIGGER " + trigger
	}
	return statement
}

// Where nothing can be written in the folder for scratch, a file is looked over beside
// itself, and nothing stays there.
func TestCheckWithoutScratch(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "records.db")
	db, err := Open(context.Background(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	fill(t, db)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, variable := range []string{"TMPDIR", "TMP", "TEMP"} {
		t.Setenv(variable, filepath.Join(folder, "not there"))
	}
	if err := CheckFile(context.Background(), path); err != nil {
		t.Error(err)
	}
	after, err := os.ReadDir(folder)
	if err != nil || len(after) != len(before) {
		t.Errorf("%v lie there after %v: %v", after, before, err)
	}
}

// A disk that lost a page in the middle of the file.
func TestCheckTornFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "records.db")
	db, err := Open(context.Background(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	var rows []record.UseRow
	for r := range manyShots(5000) {
		rows = append(rows, r)
	}
	mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, rows...)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	file, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	info, err := file.Stat()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := file.WriteAt(make([]byte, 8192), info.Size()/2&^4095); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	torn := openAt(t, path)
	if err := torn.Check(context.Background()); !errors.Is(err, ErrDamaged) {
		t.Errorf("error %v, want one that matches ErrDamaged", err)
	}
}
