package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"limekeep/store"
)

// Asked again, commands answer from what is kept in the file, and to the byte as they
// did when they worked it out; what is kept may be thrown away at any time.
func TestAskedAgain(t *testing.T) {
	folder := t.TempDir()
	t.Setenv("HOME", folder)
	t.Setenv("XDG_CONFIG_HOME", folder)
	path := filepath.Join(folder, "records.db")
	run := func(line string) string {
		t.Helper()
		root := newRoot()
		var out bytes.Buffer
		root.SetOut(&out)
		root.SetErr(&out)
		root.SetIn(strings.NewReader(readsPlace))
		root.SetArgs(append(strings.Fields(line), "--data", path, "--today", "2026-03-02", "--worlds", "20", "--effort", "1000"))
		if err := root.ExecuteContext(t.Context()); err != nil {
			t.Fatalf("limekeep %s: %v", line, err)
		}
		return out.String()
	}
	kept := func(do func(*store.DB)) {
		t.Helper()
		db, err := store.Open(t.Context(), path, nil)
		if err != nil {
			t.Fatal(err)
		}
		defer db.Close()
		do(db)
	}
	damage := func(db *store.DB) {
		for _, kind := range []string{"outlook", "plan"} {
			all, err := db.AllDerived(t.Context(), "corner", kind)
			if err != nil || len(all) == 0 {
				t.Errorf("no %s is kept (%v)", kind, err)
			}
			for key := range all {
				if err := db.KeepDerived(t.Context(), "corner", kind, key, []byte("damaged"), 100); err != nil {
					t.Error(err)
				}
			}
		}
	}
	run("setup -")
	for _, line := range []string{"due", "due --all --json", "next", "why descale/brew", "why descale/brew --json", "plan", "plan --json", "stock"} {
		kept(damage)
		worked := run(line)
		if read := run(line); read != worked {
			t.Errorf("limekeep %s says at first\n%s\nand then\n%s", line, worked, read)
		}
	}
}
