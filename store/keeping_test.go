package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

// fill writes some of what a file can hold.
func fill(t *testing.T, db *DB) {
	t.Helper()
	mustAppend(t, db, entry(day(1), record.Service{Task: "machine/descale/steam", Note: "lime & <scale>\nin \u2028 lines"}))
	mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shot(day(1), 0), shot(day(2), 481), record.UseRow{Date: day(3), Minute: -1, Shots: 2.1, DoseGrams: 18.3, Beans: "0.1 + 0.2"})
	wrong := mustAppend(t, db, entry(day(2), record.Service{Task: "wrong"}))[0]
	mustAppend(t, db, entry(day(2), record.Void{Record: wrong}))
	mustAppend(t, db, entry(day(4), record.Publication{At: time.Date(2026, 5, 4, 3, 10, 0, 0, time.UTC)}))
}

func exported(t *testing.T, db *DB) string {
	t.Helper()
	var b bytes.Buffer
	if _, err := db.Export(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// What is exported and imported is the same to the last byte, and sound.
func TestExportImport(t *testing.T) { onEach(t, testExportImport) }

func testExportImport(t *testing.T, open opener) {
	db, other := open(t), open(t)
	ctx := context.Background()
	fill(t, db)
	text := exported(t, db)
	n, err := other.Import(ctx, strings.NewReader(text))
	if err != nil || n != int64(len(mustHistory(t, db, day(30)))) {
		t.Fatalf("%d records, %v", n, err)
	}
	if diff := cmp.Diff(text, exported(t, other)); diff != "" {
		t.Errorf("-exported +exported again:\n%s", diff)
	}
	if err := other.Check(ctx); err != nil {
		t.Error(err)
	}
	if diff := cmp.Diff(allSums(t, db), allSums(t, other)); diff != "" {
		t.Errorf("sums, -before +after:\n%s", diff)
	}
	if _, err := other.Import(ctx, strings.NewReader(text)); err == nil {
		t.Error("taken into records that are not empty")
	}
}

// Cut off, changed or foreign lines leave nothing behind.
func TestImportRefuses(t *testing.T) { onEach(t, testImportRefuses) }

func testImportRefuses(t *testing.T, open opener) {
	from := open(t)
	fill(t, from)
	text := exported(t, from)
	lines := strings.SplitAfter(text, "\n")
	cases := map[string]string{
		"nothing":         "",
		"something else":  "{}\n",
		"a later kind":    strings.Replace(text, `"limekeep_export":1`, `"limekeep_export":2`, 1),
		"cut off":         text[:len(text)-len(lines[len(lines)-2])],
		"cut in a line":   text[:len(text)/2],
		"a changed value": strings.Replace(text, "descale", "descalE", 1),
		"a lost row":      strings.Replace(text, lines[len(lines)-3], "", 1),
		"more behind it":  text + lines[1],
		"no JSON":         strings.Replace(text, lines[2], "x\n", 1),
	}
	for name, bad := range cases {
		db := open(t)
		if _, err := db.Import(context.Background(), strings.NewReader(bad)); err == nil {
			t.Errorf("%s: taken", name)
		}
		if n := len(mustHistory(t, db, day(30))); n != 0 {
			t.Errorf("%s: %d records are left", name, n)
		}
	}
}

func TestRestore(t *testing.T) {
	ctx := context.Background()
	db := openTest(t)
	fill(t, db)
	if _, err := db.SetObjects(ctx, "home", map[string]string{"a.ics": "1"}); err != nil {
		t.Fatal(err)
	}
	before, err := db.SyncState(ctx, "home")
	if err != nil {
		t.Fatal(err)
	}
	token, err := db.BeginSession(ctx, "browser")
	if err != nil {
		t.Fatal(err)
	}
	backup := filepath.Join(t.TempDir(), "backup.db")
	if err := db.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	want := exported(t, db)
	mustAppend(t, db, entry(day(9), record.Service{Task: "later"}))
	if _, err := Restore(ctx, backup, db.Path(), nil); err == nil || !strings.Contains(err.Error(), "in use") {
		t.Fatalf("restored while the records are open: %v", err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	kept, err := Restore(ctx, backup, db.Path(), nil)
	if err != nil {
		t.Fatal(err)
	}
	again := openAt(t, db.Path())
	if diff := cmp.Diff(want, exported(t, again)); diff != "" {
		t.Errorf("-backed up +restored:\n%s", diff)
	}
	if known, _ := again.SessionKnown(ctx, token); known {
		t.Error("a session is still good")
	}
	after, err := again.SetObjects(ctx, "home", map[string]string{"a.ics": "1"})
	if err != nil || after.Epoch == before.Epoch {
		t.Errorf("the epoch is %q still, %v: apps would not fetch anew", after.Epoch, err)
	}
	if n := len(mustHistory(t, openAt(t, kept), day(30))); n != len(mustHistory(t, again, day(30)))+1 {
		t.Errorf("what was there before has %d records", n)
	}
}

// A backup that is not sound changes nothing, and leaves nothing behind.
func TestRestoreLooksFirst(t *testing.T) {
	ctx := context.Background()
	db := openTest(t)
	fill(t, db)
	backup := filepath.Join(t.TempDir(), "backup.db")
	if err := db.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	want := exported(t, db)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(backup)
	if err != nil {
		t.Fatal(err)
	}
	flipped := bytes.Replace(data, []byte("machine/descale/steam"), []byte("machine/descale/sdeam"), 1)
	if bytes.Equal(flipped, data) {
		t.Fatal("the text to flip a bit of is not there")
	}
	for name, bad := range map[string][]byte{"a flipped bit": flipped, "cut off": data[:len(data)/2], "no file of records": []byte("words"), "empty": nil, "missing": nil, "without a record": nothingIn(t)} {
		path := filepath.Join(t.TempDir(), "bad.db")
		if err := os.WriteFile(path, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		if name == "missing" {
			path += "-that-is-not-there"
		}
		if _, err := Restore(ctx, path, db.Path(), nil); err == nil || strings.Contains(err.Error(), ".partial") {
			t.Errorf("%s: told %v", name, err)
		}
		if err := CheckFile(ctx, path); err == nil && name != "without a record" {
			t.Errorf("%s: taken for sound", name)
		}
	}
	if diff := cmp.Diff(want, exported(t, openAt(t, db.Path()))); diff != "" {
		t.Errorf("-before +after:\n%s", diff)
	}
	left, err := filepath.Glob(db.Path() + "*partial*")
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// nothingIn is a sound file in which nothing was ever written down.
func nothingIn(t *testing.T) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "new.db")
	db, err := Open(context.Background(), path, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Backups made while others write are each whole: LIMEKEEP_SOAK makes it a hundred.
func TestBackupsUnderWriting(t *testing.T) {
	ctx := context.Background()
	db := openTest(t)
	fill(t, db)
	folder := t.TempDir()
	stop, done := make(chan struct{}), make(chan error, 1)
	go func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				done <- nil
				return
			default:
			}
			if _, err := db.Append(ctx, entry(day(1+i%28), record.Service{Task: fmt.Sprint("machine/task-", i)})); err != nil {
				done <- err
				return
			}
		}
	}()
	times := 5
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		times = 100
	}
	for i := range times {
		at, err := db.Version(ctx)
		if err != nil {
			t.Fatal(err)
		}
		backup := filepath.Join(folder, fmt.Sprint("backup-", i))
		if err := db.Backup(ctx, backup); err != nil {
			t.Fatal(err)
		}
		restored := filepath.Join(folder, fmt.Sprint("restored-", i))
		if _, err := Restore(ctx, backup, restored, nil); err != nil {
			t.Fatalf("backup %d: %v", i, err)
		}
		got, err := openAt(t, restored).Version(ctx)
		if err != nil || got < at {
			t.Errorf("backup %d has records up to %d, and %d were acknowledged before it was begun", i, got, at)
		}
	}
	close(stop)
	if err := <-done; err != nil {
		t.Error(err)
	}
}

// A publication that cannot be read keeps nobody from the records, and the one before
// it is followed on.
func TestDamagedPublicationIsPassedOver(t *testing.T) { onEach(t, testDamagedPublicationIsPassedOver) }

func testDamagedPublicationIsPassedOver(t *testing.T, open opener) {
	ctx := context.Background()
	db := open(t)
	fill(t, db)
	last, err := db.Append(ctx, entry(day(5), record.Publication{At: time.Date(2026, 5, 5, 3, 10, 0, 0, time.UTC)}))
	if err != nil {
		t.Fatal(err)
	}
	for _, statement := range []string{unguarded(db, "record", "record_no_update"), fmt.Sprintf(`UPDATE record SET body = '{"turns": 7}' WHERE id = %d`, last[0])} {
		if _, err := db.write.ExecContext(ctx, statement); err != nil {
			t.Fatal(err)
		}
	}
	book, err := db.Read(ctx, "home", day(30))
	if err != nil {
		t.Fatal(err)
	}
	published, ok := book.LastPublished()
	if !ok || published.ID >= last[0] {
		t.Errorf("the last publication is %d, %t", published.ID, ok)
	}
	if _, err := db.AppendAfter(ctx, published.ID, entry(day(6), record.Publication{At: time.Date(2026, 5, 6, 3, 10, 0, 0, time.UTC)})); err != nil {
		t.Errorf("it cannot be made anew: %v", err)
	}
	if _, err := historyOf(ctx, db, "home"); err != nil {
		t.Errorf("history: %v", err)
	}
	if err := db.Check(ctx); !errors.Is(err, ErrDamaged) {
		t.Errorf("the check says %v", err)
	}
}

// After Fold the one file holds all that was acknowledged.
func TestFoldedFileIsWhole(t *testing.T) {
	ctx := context.Background()
	db := openTest(t)
	fill(t, db)
	if _, ok := db.Unfolded(); !ok {
		t.Error("what was just written is said to be folded in")
	}
	if err := db.Fold(ctx); err != nil {
		t.Fatal(err)
	}
	if _, ok := db.Unfolded(); ok {
		t.Error("something is left in the log")
	}
	copied := filepath.Join(t.TempDir(), "copied.db")
	if err := copyFile(db.Path(), copied); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(exported(t, db), exported(t, openAt(t, copied))); diff != "" {
		t.Errorf("-file +copy:\n%s", diff)
	}
}

// Files are their owner's alone, and no link is written through.
func TestFilesAreTheOwners(t *testing.T) {
	ctx := context.Background()
	folder := filepath.Join(t.TempDir(), "new", "folder")
	db := openAt(t, filepath.Join(folder, "records.db"))
	fill(t, db)
	backup := filepath.Join(t.TempDir(), "backup.db")
	if err := db.Backup(ctx, backup); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]fs.FileMode{folder: 0o700, db.Path(): 0o600, db.Path() + "-wal": 0o600, backup: 0o600} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v, want %v", path, info.Mode().Perm(), err, want)
		}
	}
	victim := filepath.Join(t.TempDir(), "victim")
	if err := os.WriteFile(victim, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	link := filepath.Join(t.TempDir(), "link.db")
	if err := os.Symlink(victim, link); err != nil {
		t.Skip("no links here: ", err)
	}
	if err := db.Backup(ctx, link); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a backup through a link: %v", err)
	}
	if data, _ := os.ReadFile(victim); string(data) != "mine" {
		t.Error("the file behind the link was written")
	}
}

// The words are ours, and the cause can still be asked for.
func TestLockedFileIsToldInWords(t *testing.T) {
	db := openTest(t)
	ctx := context.Background()
	other, err := connect(db.Path(), 1)
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if _, err := other.ExecContext(ctx, "BEGIN IMMEDIATE"); err != nil {
		t.Fatal(err)
	}
	if _, err := db.write.ExecContext(ctx, "PRAGMA busy_timeout = 10"); err != nil {
		t.Fatal(err)
	}
	_, err = db.Append(ctx, entry(day(1), record.Service{Task: "x"}))
	var told *FaultError
	if !errors.As(err, &told) || !strings.Contains(err.Error(), "another program has been writing") || strings.Contains(err.Error(), "SQLITE") || strings.Contains(err.Error(), "(5)") {
		t.Errorf("told %v", err)
	}
}
