package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

// folderBytes returns the content of every file of a folder.
func folderBytes(t *testing.T, folder string) map[string]string {
	t.Helper()
	content := map[string]string{}
	files, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(folder, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		content[f.Name()] = string(data)
	}
	return content
}

// laterMigrations are the program's own and one that is not written yet.
func laterMigrations(t *testing.T) fs.FS {
	t.Helper()
	latest, err := latestVersion(migrations())
	if err != nil {
		t.Fatal(err)
	}
	later := fstest.MapFS{fmt.Sprintf("%05d_later.sql", latest+1): {Data: []byte(fmt.Sprintf(
		"-- +goose Up\nCREATE TABLE later_%d (a TEXT) STRICT;\n", latest+1))}}
	names, err := fs.Glob(migrations(), "*.sql")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		data, err := fs.ReadFile(migrations(), name)
		if err != nil {
			t.Fatal(err)
		}
		later[name] = &fstest.MapFile{Data: data}
	}
	return later
}

func TestOpenCreates(t *testing.T) {
	// A name with all that has a meaning in an address of SQLite or a shell.
	path := filepath.Join(t.TempDir(), "not there", "Küche #1 100%?mode=ro&x='a'.db")
	db := openAt(t, path)
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if info.Mode().Perm() != 0o600 {
		t.Errorf("others may read the file: mode %v", info.Mode())
	}
	for pragma, want := range map[string]string{
		"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "recursive_triggers": "1", "application_id": fmt.Sprint(applicationID),
	} {
		var got string
		if err := db.write.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %s, %v, want %s", pragma, got, err, want)
		}
	}
	if _, err := db.read.Exec("DELETE FROM drawn_day"); err == nil {
		t.Error("a reader's connection may write")
	}
}

// A file that was made but is still empty, as by a temporary name, is taken.
func TestOpenEmptyFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "records.db")
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	mustAppend(t, openAt(t, path), entry(day(1), record.Retired{Equipment: "grinder"}))
}

func TestReopen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "records.db")
	var before []record.Entry
	var days []record.UseDay
	for range 3 {
		db, err := Open(context.Background(), path, nil)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(before, mustHistory(t, db, day(30))); diff != "" {
			t.Errorf("history after opening again, -before +after:\n%s", diff)
		}
		if diff := cmp.Diff(days, mustRead(t, db, day(30)).Days, cmpEmpty); diff != "" {
			t.Errorf("days after opening again, -before +after:\n%s", diff)
		}
		mustAppend(t, db, entry(day(1), record.Retired{Equipment: "grinder"}))
		mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shot(day(2), 480+len(before)))
		before, days = mustHistory(t, db, day(30)), mustRead(t, db, day(30)).Days
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if content := folderBytes(t, filepath.Dir(path)); len(content) != 1 {
		t.Errorf("closing leaves %d files, want the one", len(content))
	}
}

func TestOpenRefusesWhatIsNotOurs(t *testing.T) {
	foreign := func(t *testing.T, path string, statements ...string) {
		db, err := sql.Open("sqlite", address(path))
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		for _, s := range statements {
			if _, err := db.Exec(s); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, test := range []struct {
		name string
		make func(t *testing.T, path string)
	}{
		{"text", func(t *testing.T, path string) {
			if err := os.WriteFile(path, []byte(strings.Repeat("date,shots\n", 500)), 0o644); err != nil {
				t.Fatal(err)
			}
		}},
		{"one byte", func(t *testing.T, path string) {
			if err := os.WriteFile(path, []byte{0}, 0o644); err != nil {
				t.Fatal(err)
			}
		}},
		{"SQLite without a mark", func(t *testing.T, path string) {
			foreign(t, path, "CREATE TABLE record (id INTEGER PRIMARY KEY)")
		}},
		{"SQLite with another's mark", func(t *testing.T, path string) {
			foreign(t, path, "PRAGMA application_id = 252006673", "CREATE TABLE record (id INTEGER PRIMARY KEY)")
		}},
		{"SQLite with a log beside it", func(t *testing.T, path string) {
			// Copied while open, as a crash would leave it.
			live := filepath.Join(t.TempDir(), "live.db")
			db, err := sql.Open("sqlite", address(live, "_pragma=journal_mode(WAL)"))
			if err != nil {
				t.Fatal(err)
			}
			defer db.Close()
			if _, err := db.Exec("CREATE TABLE record (id INTEGER PRIMARY KEY)"); err != nil {
				t.Fatal(err)
			}
			for _, suffix := range []string{"", "-wal"} {
				data, err := os.ReadFile(live + suffix)
				if err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path+suffix, data, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			folder := t.TempDir()
			path := filepath.Join(folder, "records.db")
			test.make(t, path)
			before := folderBytes(t, folder)
			db, err := Open(context.Background(), path, nil)
			if !errors.Is(err, ErrNotOurs) {
				t.Errorf("error %v, want one that matches ErrNotOurs", err)
			}
			if db != nil {
				t.Error("a database was opened")
			}
			if file := (*FileError)(nil); !errors.As(err, &file) || file.Path != path {
				t.Errorf("error %v does not name the file", err)
			}
			if diff := cmp.Diff(before, folderBytes(t, folder)); diff != "" {
				t.Errorf("the folder was touched, -before +after:\n%s", diff)
			}
		})
	}
	if _, err := Open(context.Background(), t.TempDir(), nil); !errors.Is(err, ErrNotOurs) {
		t.Errorf("a folder: %v", err)
	}
	if _, err := Open(context.Background(), "", nil); err == nil {
		t.Error("no path was taken for one")
	}
}

func TestOpenRefusesNewer(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "records.db")
	newer, err := open(context.Background(), path, nil, laterMigrations(t))
	if err != nil {
		t.Fatal(err)
	}
	mustAppend(t, newer, entry(day(1), record.Retired{Equipment: "grinder"}))
	// While the later program runs, its change may stand in the log alone.
	if db, err := Open(context.Background(), path, nil); !errors.Is(err, ErrNewer) || db != nil {
		t.Errorf("while it is open: %v", err)
	}
	if err := newer.Close(); err != nil {
		t.Fatal(err)
	}
	before := folderBytes(t, folder)
	if db, err := Open(context.Background(), path, nil); !errors.Is(err, ErrNewer) || db != nil {
		t.Errorf("error %v, want one that matches ErrNewer", err)
	}
	if diff := cmp.Diff(before, folderBytes(t, folder)); diff != "" {
		t.Errorf("the folder was touched, -before +after:\n%s", diff)
	}
}

func TestOpenOlderLeavesACopy(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "records.db")
	older, err := Open(context.Background(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	mustAppend(t, older, entry(day(1), record.Retired{Equipment: "grinder"}))
	mustAppendUse(t, older, record.UseBatch{Machine: "machine"}, shot(day(2), 480))
	history := mustHistory(t, older, day(30))
	if err := older.Close(); err != nil {
		t.Fatal(err)
	}
	latest, err := latestVersion(laterMigrations(t))
	if err != nil {
		t.Fatal(err)
	}
	name := fmt.Sprintf("%s.before-%d.bak", path, latest)
	if err := os.WriteFile(name, []byte("in the way"), 0o600); err != nil {
		t.Fatal(err)
	}
	newer, err := open(context.Background(), path, nil, laterMigrations(t))
	if err != nil {
		t.Fatal(err)
	}
	defer newer.Close()
	if diff := cmp.Diff(history, mustHistory(t, newer, day(30))); diff != "" {
		t.Errorf("history after the change, -before +after:\n%s", diff)
	}
	if data, err := os.ReadFile(name); err != nil || string(data) != "in the way" {
		t.Errorf("an earlier copy was written over: %v", err)
	}
	// The copy is of the older version: today's program opens it as it is.
	copied := openAt(t, fmt.Sprintf("%s.before-%d-2.bak", path, latest))
	if diff := cmp.Diff(history, mustHistory(t, copied, day(30))); diff != "" {
		t.Errorf("history of the copy, -before +copy:\n%s", diff)
	}
}

// A migration that fails leaves the file at the version before it.
func TestMigrationFails(t *testing.T) {
	path := filepath.Join(t.TempDir(), "records.db")
	older, err := Open(context.Background(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	mustAppend(t, older, entry(day(1), record.Retired{Equipment: "grinder"}))
	if err := older.Close(); err != nil {
		t.Fatal(err)
	}
	steps := laterMigrations(t).(fstest.MapFS)
	steps["00099_wrong.sql"] = &fstest.MapFile{Data: []byte("-- +goose Up\nCREATE TABLE half (a TEXT);\nCREATE TABEL whole (a TEXT);\n")}
	if db, err := open(context.Background(), path, nil, steps); err == nil {
		db.Close()
		t.Fatal("a wrong migration was taken")
	}
	db, err := open(context.Background(), path, nil, laterMigrations(t))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var half int
	if err := db.read.QueryRow("SELECT count(*) FROM sqlite_schema WHERE name = 'half'").Scan(&half); err != nil || half != 0 {
		t.Errorf("half a migration was kept: %d, %v", half, err)
	}
	if n := len(mustHistory(t, db, day(30))); n != 1 {
		t.Errorf("%d records, want 1", n)
	}
}

// The header follows the migrations, also where a crash came between the two.
func TestHeaderTellsVersion(t *testing.T) {
	header := func(db *DB) (version int64) {
		t.Helper()
		if err := db.write.QueryRow("PRAGMA user_version").Scan(&version); err != nil {
			t.Fatal(err)
		}
		return version
	}
	folder := t.TempDir()
	path := filepath.Join(folder, "records.db")
	later := laterMigrations(t)
	latest, err := latestVersion(later)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		db, err := open(context.Background(), path, nil, later)
		if err != nil {
			t.Fatal(err)
		}
		if got := header(db); got != latest {
			t.Errorf("the header says %d, want %d", got, latest)
		}
		if _, err := db.write.Exec("PRAGMA user_version = 0"); err != nil {
			t.Fatal(err)
		}
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if files := folderBytes(t, folder); len(files) != 1 {
		t.Errorf("%d files, want no copy of a file that was up to date", len(files))
	}
	if _, err := Open(context.Background(), path, nil); !errors.Is(err, ErrNewer) {
		t.Errorf("a later file with an old header: %v", err)
	}
}

func TestCancelled(t *testing.T) { onEach(t, testCancelled) }

func testCancelled(t *testing.T, open opener) {
	db := open(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for call, err := range map[string]error{
		"Places":      second(db.Places(ctx)),
		"Read":        second(db.Read(ctx, "home", day(1))),
		"History":     second(historyOf(ctx, db, "home")),
		"Find":        second(db.Find(ctx, 1)),
		"Append":      second(db.Append(ctx, entry(day(1), record.Retired{Equipment: "grinder"}))),
		"AppendUse":   second(db.AppendUse(ctx, entry(day(1), record.UseBatch{Machine: "machine"}), rowsOf(shot(day(1), 1)))),
		"RebuildSums": db.RebuildSums(ctx),
		"Check":       db.Check(ctx),
		"Backup":      db.Backup(ctx, filepath.Join(t.TempDir(), "copy.db")),
		"Open":        second(Open(ctx, filepath.Join(t.TempDir(), "records.db"), nil)),
	} {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v", call, err)
		}
	}
	assertEmpty(t, db)
}
