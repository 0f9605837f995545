package store

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

func TestBackup(t *testing.T) {
	db := openTest(t)
	ctx := context.Background()
	mustAppend(t, db, entry(day(1), record.Retired{Equipment: "grinder"}))
	first := mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shot(day(2), 480), shot(day(2), 490))
	mustAppend(t, db, entry(day(1), record.Void{Record: first.ID}))
	mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shot(day(2), 480))
	history, days := mustHistory(t, db, day(30)), mustRead(t, db, day(30)).Days

	folder := t.TempDir()
	path := filepath.Join(folder, "it's a copy?.db")
	if err := db.Backup(ctx, path); err != nil {
		t.Fatal(err)
	}
	mustAppend(t, db, entry(day(1), record.Retired{Equipment: "machine"})) // after the copy

	files := folderBytes(t, folder)
	if len(files) != 1 {
		t.Errorf("%d files beside each other, want the copy alone", len(files))
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("others may read the copy: %v, %v", info.Mode(), err)
	}
	if err := db.Backup(ctx, path); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a second copy of the same name: %v", err)
	}
	if diff := cmp.Diff(files, folderBytes(t, folder)); diff != "" {
		t.Errorf("the first copy was touched, -before +after:\n%s", diff)
	}

	restored := openAt(t, path)
	if err := restored.Check(ctx); err != nil {
		t.Error(err)
	}
	if diff := cmp.Diff(history, mustHistory(t, restored, day(30))); diff != "" {
		t.Errorf("history of the copy, -original +copy:\n%s", diff)
	}
	if diff := cmp.Diff(days, mustRead(t, restored, day(30)).Days); diff != "" {
		t.Errorf("days of the copy, -original +copy:\n%s", diff)
	}
	// Numbers go on where they stood, so that one never names two records.
	if id := mustAppend(t, restored, entry(day(1), record.Retired{Equipment: "machine"}))[0]; id != history[len(history)-1].ID+1 {
		t.Errorf("the copy's next record has number %d", id)
	}
}

func TestBackupSideBySideWithWriter(t *testing.T) {
	db := openTest(t)
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "copy.db")
	_, err := db.AppendUse(ctx, entry(0, record.UseBatch{Machine: "machine"}), func(yield func(record.UseRow, error) bool) {
		n := 0
		for r := range manyShots(1000) {
			if n++; n == 500 {
				if err := db.Backup(ctx, path); err != nil {
					yield(r, err)
					return
				}
			}
			if !yield(r, nil) {
				return
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	restored := openAt(t, path)
	assertEmpty(t, restored)
	if err := restored.Check(ctx); err != nil {
		t.Error(err)
	}
}

func TestBackupFails(t *testing.T) {
	db := openTest(t)
	folder := t.TempDir()
	if err := db.Backup(context.Background(), filepath.Join(folder, "no folder", "copy.db")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("into no folder: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := db.Backup(ctx, filepath.Join(folder, "copy.db")); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if files := folderBytes(t, folder); len(files) != 0 {
		t.Errorf("failing left %d files", len(files))
	}
}
