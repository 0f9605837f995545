package store

import (
	"context"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"limekeep/schedule/record"
)

// openedEnv asks the test program to be a process that opens a file and writes a record.
const openedEnv = "LIMEKEEP_STORE_OPENED"

// openAndWrite is what that process does, and what it says of it.
func openAndWrite(path string) {
	db, err := Open(context.Background(), path, nil)
	if err != nil {
		fmt.Println("opening: ", err)
		return
	}
	_, err = db.Append(context.Background(), entry(day(9), record.Service{Task: "machine/backflush", Note: "another process"}))
	fmt.Println("written: ", err, db.Close())
}

func opening(t *testing.T, path string) *exec.Cmd {
	t.Helper()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	child := exec.Command(program)
	child.Env = append(os.Environ(), openedEnv+"="+path)
	return child
}

// olderFile writes a file of an older schema with some records.
func olderFile(t *testing.T) (path string, acknowledged map[int64]string) {
	t.Helper()
	names, err := fs.Glob(migrations(), "*.sql")
	if err != nil {
		t.Fatal(err)
	}
	steps := fstest.MapFS{}
	for _, name := range names[:len(names)-2] { // sorted by number
		data, err := fs.ReadFile(migrations(), name)
		if err != nil {
			t.Fatal(err)
		}
		steps[name] = &fstest.MapFile{Data: data}
	}
	path = filepath.Join(t.TempDir(), "older.db")
	db, err := open(t.Context(), path, nil, steps)
	if err != nil {
		t.Fatal(err)
	}
	acknowledged = map[int64]string{}
	for n := range 20 {
		r, err := encode(noted(n))
		if err != nil {
			t.Fatal(err)
		}
		var id int64 // as the program of that time wrote it, without a checksum
		if err := db.write.QueryRow("INSERT INTO record (place, kind, effective, entered, source, body) VALUES (?, ?, ?, ?, ?, ?) RETURNING id",
			r.place, string(r.kind), r.effective.String(), r.entered, r.source, r.body).Scan(&id); err != nil {
			t.Fatal(err)
		}
		acknowledged[id] = r.read.(record.Service).Note
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	return path, acknowledged
}

// Two processes that open an older file at once take turns, ten times of ten.
func TestTwoProcessesMigrate(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	older, acknowledged := olderFile(t)
	for range 10 {
		path := filepath.Join(t.TempDir(), "records.db")
		if err := copyFile(older, path); err != nil {
			t.Fatal(err)
		}
		var wait sync.WaitGroup
		for range 2 {
			child := opening(t, path)
			wait.Go(func() {
				if out, err := child.CombinedOutput(); err != nil || strings.TrimSpace(string(out)) != "written:  <nil> <nil>" {
					t.Errorf("%s%v", out, err)
				}
			})
		}
		wait.Wait()
		holdsAll(t, path, acknowledged)
		if n := len(mustHistory(t, openAt(t, path), day(30))); n != len(acknowledged)+2 {
			t.Errorf("%d records, want %d", n, len(acknowledged)+2)
		}
		if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), "*.partial*")); len(left) > 0 {
			t.Errorf("left behind: %v", left)
		}
	}
}

// A process that is killed while it brings a file up to date leaves one that the next can go
// on with, and every record in it.
func TestKilledWhileMigrating(t *testing.T) {
	older, acknowledged := olderFile(t)
	rounds := 8
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		rounds = 300
	}
	rng := rand.New(rand.NewPCG(5, 6)) //nolint:gosec // chance that can be had again
	whole, folder := time.Duration(0), t.TempDir()
	for round := range rounds {
		path := filepath.Join(folder, fmt.Sprint(round), "records.db")
		if err := os.Mkdir(filepath.Dir(path), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := copyFile(older, path); err != nil {
			t.Fatal(err)
		}
		child, began := opening(t, path), time.Now()
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		if round > 0 { // the first tells how long it takes
			timer := time.AfterFunc(time.Duration(rng.Float64()*float64(whole)), func() { _ = child.Process.Kill() })
			defer timer.Stop()
		}
		_ = child.Wait() // it may have been killed
		if round == 0 {
			whole = time.Since(began)
		}
		holdsAll(t, path, acknowledged)
	}
}
