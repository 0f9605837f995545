package store

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"limekeep/schedule/record"
	"limekeep/schedule/sample/bound"
)

// Whatever lines are taken for an export, they are taken whole, for what Export would write
// of them again, or not at all.
func FuzzImport(f *testing.F) {
	source := openAt(f, filepath.Join(f.TempDir(), "source.db"))
	mustAppend(f, source, noted(1), noted(2))
	mustAppendUse(f, source, record.UseBatch{Machine: "machine"}, shot(day(2), 480), shot(day(3), 481))
	var whole bytes.Buffer
	if _, err := source.Export(context.Background(), &whole); err != nil {
		f.Fatal(err)
	}
	f.Add(whole.String())
	f.Add(whole.String()[:whole.Len()/2])
	f.Add(strings.Replace(whole.String(), "machine", "\\u0000", 1))
	f.Add(`{"limekeep_export":1}` + "\n" + `{"records":0,"rows":0,"sha256":""}`)
	f.Add(`{"limekeep_export":1}` + "\n" + `{"record":9223372036854775807,"place":"home","kind":"void","body":"{}"}`)
	f.Add(`{"limekeep_export":2}`)
	f.Add(strings.Repeat("[", 100_000))
	folder, files := f.TempDir(), 0
	next := func(t testing.TB) *DB {
		files++
		db, err := Open(context.Background(), filepath.Join(folder, fmt.Sprint(files, ".db")), nil)
		if err != nil {
			t.Fatal(err)
		}
		return db
	}
	target := next(f)
	f.Cleanup(func() { _ = target.Close() })
	f.Fuzz(func(t *testing.T, lines string) {
		defer bound.Memory(t)()
		_, err := target.Import(context.Background(), strings.NewReader(lines))
		if err == nil {
			if again := exported(t, target); len(again) == 0 {
				t.Error("what was taken cannot be written again")
			}
			if err := target.Check(context.Background()); err != nil {
				t.Error(err)
			}
			if err := target.Close(); err != nil {
				t.Error(err)
			}
			target = next(t) // a file takes one export
			return
		}
		var entries int
		if err := target.read.QueryRow("SELECT count(*) FROM record").Scan(&entries); err != nil || entries != 0 {
			t.Errorf("%d records of it were kept: %v", entries, err)
		}
	})
}
