package store

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"limekeep/schedule/record"
)

func TestImportCutShort(t *testing.T) {
	db := openTest(t)
	torn := errors.New("line 2001: torn off")
	gone := errors.New("the browser went away")
	for _, test := range []struct {
		name string
		cut  func(cancel context.CancelCauseFunc) error
		want error
	}{
		{"by the file", func(context.CancelCauseFunc) error { return torn }, torn},
		{"by the context", func(cancel context.CancelCauseFunc) error { cancel(gone); return nil }, gone},
	} {
		t.Run(test.name, func(t *testing.T) {
			ctx, cancel := context.WithCancelCause(context.Background())
			defer cancel(nil)
			read := 0
			_, err := db.AppendUse(ctx, entry(0, record.UseBatch{Machine: "machine"}), func(yield func(record.UseRow, error) bool) {
				for r := range manyShots(4000) {
					if read++; read == 2001 {
						if err := test.cut(cancel); err != nil {
							yield(record.UseRow{}, err)
							return
						}
					}
					if !yield(r, nil) {
						return
					}
				}
			})
			if !errors.Is(err, test.want) {
				t.Errorf("error %v, want %v", err, test.want)
			}
			if read < 2001 || read >= 4000 {
				t.Errorf("%d rows were read", read)
			}
			assertEmpty(t, db)
		})
	}
	// The file is none the worse.
	if result := mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shot(day(1), 1)); result.ID != 1 {
		t.Errorf("after that: %+v", result)
	}
}

// importUntilKilled is what the killed process does.
func importUntilKilled(path string) {
	db, err := Open(context.Background(), path, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	// With hardly any memory for pages they are written early, as in a long import.
	if _, err := db.write.Exec("PRAGMA cache_size = 10"); err != nil {
		fmt.Println(err)
		return
	}
	_, err = db.AppendUse(context.Background(), entry(0, record.UseBatch{Machine: "machine"}), func(yield func(record.UseRow, error) bool) {
		n := 0
		for r := range manyShots(20_000) {
			if n++; n == 10_000 {
				fmt.Println("half way")
				select {}
			}
			if !yield(r, nil) {
				return
			}
		}
	})
	fmt.Println(err)
}

func TestKilledHalfWay(t *testing.T) {
	path := filepath.Join(t.TempDir(), "records.db")
	db := openAt(t, path)
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	child := exec.Command(program)
	child.Env = append(os.Environ(), killedEnv+"="+path)
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	said, err := bufio.NewReader(out).ReadString('\n')
	if err != nil || said != "half way\n" {
		t.Errorf("the other process said %q, %v", said, err)
	}
	if info, err := os.Stat(path + "-wal"); err != nil || info.Size() < 300_000 {
		t.Errorf("the other process has hardly written yet: %v, %v", info, err)
	}
	if err := child.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = child.Wait() // that it was killed is known
	assertEmpty(t, db)
	if result := mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shot(day(1), 1)); result.ID != 1 {
		t.Errorf("after that: %+v", result)
	}
	if err := db.Check(context.Background()); err != nil {
		t.Error(err)
	}
}
