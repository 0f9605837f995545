package store

import (
	"context"
	"os"
	"path/filepath"
	"time"
)

// Unfolded reports whether something is written that stands in the log beside the file
// and not in the file itself, and when it was last written to.
func (db *DB) Unfolded() (time.Time, bool) {
	file, ok := db.engine.(sqliteFile)
	if !ok {
		return time.Time{}, false
	}
	info, err := os.Stat(file.path + "-wal")
	if err != nil || info.Size() == 0 {
		return time.Time{}, false
	}
	return info.ModTime(), true
}

// Fold brings what stands in the log into the file, so that the one file is whole.
// Where others read or write, what it can. It is done by itself when the last who has
// the file open closes it.
func (db *DB) Fold(ctx context.Context) error {
	if _, ok := db.engine.(sqliteFile); !ok {
		return nil
	}
	_, err := db.write.ExecContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)")
	return db.inWords(err)
}

// partialLasts is how old a partial copy is that nobody is at work on (assumption).
const partialLasts = time.Hour

// clearPartials takes away partial copies that were left beside a file when a program
// was stopped.
func clearPartials(path string, now time.Time) {
	left, err := filepath.Glob(globbed(path) + "*.partial")
	if err != nil {
		return
	}
	for _, name := range left {
		if info, err := os.Lstat(name); err == nil && info.Mode().IsRegular() && now.Sub(info.ModTime()) > partialLasts {
			_ = os.Remove(name)
		}
	}
}

// globbed writes a path so that a pattern stands for it alone.
func globbed(path string) string {
	var b []rune
	for _, r := range path {
		if r == '*' || r == '?' || r == '[' || r == '\\' && filepath.Separator != '\\' {
			b = append(b, '\\')
		}
		b = append(b, r)
	}
	return string(b)
}
