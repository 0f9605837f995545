package store

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"limekeep/schedule/record"
)

// What people write is never part of a statement or of a path: it comes back as it was
// written, and finds nothing but itself.
func TestHostileTextsStayTexts(t *testing.T) { onEach(t, testHostileTextsStayTexts) }

func testHostileTextsStayTexts(t *testing.T, open opener) {
	ctx := t.Context()
	db := open(t)
	fill(t, db)
	before := len(mustHistory(t, db, day(30)))
	for _, text := range []string{
		`'); DROP TABLE record; --`, `' OR '1'='1`, `" UNION SELECT secret FROM secret --`, `home'; PRAGMA writable_schema = 1; --`, `%`, `_`, `?1`, `:place`, `../../../etc/passwd`, `file:/etc/passwd?mode=ro`, `ATTACH 'x.db' AS x`,
	} {
		if book, err := db.Read(ctx, text, day(30)); err != nil || len(book.Entries) != 0 {
			t.Errorf("the place %q: %v, %v", text, book, err)
		}
		if all, err := historyOf(ctx, db, text); err != nil || len(all) != 0 {
			t.Errorf("the history of %q: %d, %v", text, len(all), err)
		}
		if _, ok, err := db.CheckPassword(ctx, "home", text, ScopeTasks); err != nil || ok {
			t.Errorf("the password %q: %t, %v", text, ok, err)
		}
		if known, err := db.SetupLinkKnown(ctx, text); err != nil || known {
			t.Errorf("the link %q: %t, %v", text, known, err)
		}
		e := entry(day(3), record.Service{Task: "machine/" + text, Note: text})
		e.Source = text
		ids, err := db.Append(ctx, e)
		if err != nil {
			t.Errorf("%q is not taken: %v", text, err)
			continue
		}
		before++
		kept, err := db.Find(ctx, ids[0])
		if err != nil || kept.Source != text || kept.Body.(record.Service).Note != text {
			t.Errorf("%q came back as %+v, %v", text, kept, err)
		}
	}
	if n := len(mustHistory(t, db, day(30))); n != before {
		t.Errorf("%d records, want %d", n, before)
	}
	if err := db.Check(ctx); err != nil {
		t.Error(err)
	}
}

// A folder behind a link is the folder itself: who comes by either name meets the same
// records and the same locks.
func TestFolderBehindALink(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "real")
	link := filepath.Join(t.TempDir(), "link")
	db := openAt(t, filepath.Join(folder, "records.db"))
	if err := os.Symlink(folder, link); err != nil {
		t.Skip("no links here: ", err)
	}
	behind := openAt(t, filepath.Join(link, "records.db"))
	for n, d := range []*DB{db, behind, db, behind} {
		mustAppend(t, d, noted(n))
	}
	for _, d := range []*DB{db, behind} {
		if n := len(mustHistory(t, d, day(30))); n != 4 {
			t.Errorf("%s: %d records, want 4", d.Path(), n)
		}
	}
	if err := behind.Backup(t.Context(), filepath.Join(link, "copy.db")); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(filepath.Join(folder, "copy.db")); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the copy: %v, %v", info, err)
	}
}

// A file behind a link is the file itself: its log is brought in where it lies, a backup takes
// its place and not that of the link. A link that leads to nothing is told of, and begins no
// new records elsewhere.
func TestFileBehindALink(t *testing.T) {
	ctx := t.Context()
	path := filepath.Join(t.TempDir(), "records.db")
	link := filepath.Join(t.TempDir(), "link.db")
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no links here: ", err)
	}
	if _, err := Open(ctx, link, nil); !errors.Is(err, ErrNotOurs) || exists(path) {
		t.Errorf("a link to nothing: %v", err)
	}
	db := openAt(t, path)
	mustAppend(t, db, noted(1))
	behind := openAt(t, link)
	mustAppend(t, behind, noted(2))
	if _, ok := behind.Unfolded(); !ok {
		t.Error("the log of a file behind a link is not seen")
	}
	backup := filepath.Join(t.TempDir(), "backup.db")
	if err := behind.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	mustAppend(t, behind, noted(3))
	if err := errors.Join(db.Close(), behind.Close()); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(ctx, backup, link, nil); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode().IsRegular() {
		t.Errorf("the link is %v now, %v", info.Mode(), err)
	}
	if n := len(mustHistory(t, openAt(t, path), day(30))); n != 2 {
		t.Errorf("%d records at the file itself, want the 2 of the backup", n)
	}
}

// The log that lies beside a damaged file is not taken for that of the backup which takes
// its place.
func TestRestoreBesideAStrangeLog(t *testing.T) {
	ctx, folder := t.Context(), t.TempDir()
	path, backup := filepath.Join(folder, "records.db"), filepath.Join(folder, "backup.db")
	db, err := Open(ctx, path, nil)
	if err != nil {
		t.Fatal(err)
	}
	mustAppend(t, db, noted(1))
	if err := db.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	mustAppend(t, db, noted(2))
	strange, err := os.ReadFile(path + "-wal") // with what the backup does not know
	if err != nil || len(strange) == 0 {
		t.Fatal("there is no log: ", err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, bytes.Repeat([]byte("damaged "), 4096), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path+"-wal", strange, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Restore(ctx, backup, path, nil); err != nil {
		t.Fatal(err)
	}
	holdsAll(t, path, map[int64]string{1: "number 1 of many"})
	if n := len(mustHistory(t, openAt(t, path), day(30))); n != 1 {
		t.Errorf("%d records, want the one of the backup", n)
	}
}

// Where the power went while the log was brought into the file, its first page tells of more
// pages than are there yet: with its log it is whole.
func TestPowerLossWhileFolding(t *testing.T) {
	ctx, folder := t.Context(), t.TempDir()
	path := filepath.Join(folder, "records.db")
	db := openAt(t, path)
	if err := db.Fold(ctx); err != nil {
		t.Fatal(err)
	}
	acknowledged := map[int64]string{}
	for n := range 100 { // so many that the file must grow, so few that nothing is brought in by itself
		acknowledged[mustAppend(t, db, noted(n))[0]] = noted(n).Body.(record.Service).Note
	}
	lost := filepath.Join(t.TempDir(), "records.db")
	for _, end := range []string{"", "-wal"} {
		if err := copyFile(path+end, lost+end); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Fold(ctx); err != nil {
		t.Fatal(err)
	}
	folded, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	half, err := os.ReadFile(lost)
	if err != nil || len(half) >= len(folded) {
		t.Fatalf("the file did not grow: %d bytes, then %d, %v", len(half), len(folded), err)
	}
	copy(half[:4096], folded)
	if err := os.WriteFile(lost, half, 0o600); err != nil {
		t.Fatal(err)
	}
	holdsAll(t, lost, acknowledged)
}

// What is put aside takes along what lies beside it, and its own name is free for another
// from then on.
func TestPutAsideTakesTheLogAlong(t *testing.T) {
	path := filepath.Join(t.TempDir(), "records.db")
	for _, end := range []string{"", "-wal", "-shm"} {
		if err := os.WriteFile(path+end, []byte("old"+end), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := putAside(path, path+".kept"); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path+".new", []byte("new"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(path+".new", path); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{path: "new", path + ".kept": "old", path + ".kept-wal": "old-wal", path + ".kept-shm": "old-shm"} {
		if data, err := os.ReadFile(name); err != nil || string(data) != want {
			t.Errorf("%s holds %q, %v", name, data, err)
		}
	}
	if exists(path + "-wal") {
		t.Error("the log stays where another file is now")
	}
}
