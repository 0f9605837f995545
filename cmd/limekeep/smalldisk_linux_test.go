package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// On a small disk that is full most of the time, commands are killed at random moments, or
// refused: what was acknowledged is there, the file is sound, and who is refused is told that
// the disk is full. It mounts a disk in memory, which takes the rights of root, and is part of
// make soak; TestFullDisk in store has no such needs.
func TestKilledOnASmallFullDisk(t *testing.T) {
	if os.Getenv("LIMEKEEP_SOAK") == "" {
		t.Skip("it mounts a disk; make soak has it")
	}
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=3m"); err != nil {
		t.Fatalf("no disk can be mounted, which takes the rights of root: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(disk, 0); err != nil {
			t.Error(err)
		}
	})
	s := &served{t: t, folder: disk}
	s.run("setup", "demoplace.yaml")
	logs := &served{t: t, folder: t.TempDir()} // the disk has no room for what is read
	rng := rand.New(rand.NewPCG(11, 12))       //nolint:gosec // chance that can be had again
	fill := filepath.Join(disk, "fill")
	var known []int64
	full, killed := 0, 0
	for round := range 200 {
		// What else lies on the disk leaves 0 to 63 kB, or room enough in one round of four.
		_ = os.Remove(fill)
		if round%4 > 0 {
			leaveRoom(t, disk, fill, int64(rng.IntN(64))<<10)
		}
		args := []string{"done", "machine/backflush-water", "--note", fmt.Sprint("round ", round)}
		switch round % 5 {
		case 2:
			args = []string{"use", "import", logs.logOf(round), "--as-written"}
		case 3:
			args = []string{"use", "add", "--shots", "2", "--date", time.Now().AddDate(0, 0, -1-round).Format(time.DateOnly)}
		case 4:
			args = []string{"backup", filepath.Join(disk, "copy.db")}
			_ = os.Remove(args[1])
		}
		command := s.command(args...)
		var out, told bytes.Buffer
		command.Stdout, command.Stderr = &out, &told
		if err := command.Start(); err != nil {
			t.Fatal(err)
		}
		if round%3 == 0 {
			timer := time.AfterFunc(time.Duration(rng.Float64()*float64(800*time.Millisecond)), func() { _ = command.Process.Kill() })
			defer timer.Stop()
		}
		err := command.Wait()
		for _, found := range acknowledged.FindAllStringSubmatch(out.String(), -1) {
			id, err := strconv.ParseInt(found[1]+found[2], 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			known = append(known, id)
		}
		switch {
		case err == nil:
		case command.ProcessState.ExitCode() < 0:
			killed++
		case strings.Contains(told.String(), "the disk is full") && strings.Contains(told.String(), "make room"):
			full++
		default:
			t.Errorf("%s is refused with %s", strings.Join(args, " "), told.String())
		}
	}
	if err := os.Remove(fill); err != nil && !errors.Is(err, fs.ErrNotExist) { // nothing was left to fill perhaps
		t.Fatal(err)
	}
	_ = os.Remove(filepath.Join(disk, "copy.db"))
	s.holds(known)
	if len(known) < 20 || full < 20 || killed < 20 {
		t.Errorf("%d records acknowledged, %d times full, %d killed: too few to tell anything", len(known), full, killed)
	}
	t.Logf("200 rounds, %d records acknowledged, %d times full, %d killed", len(known), full, killed)
}

// leaveRoom fills a disk up but for so many bytes.
func leaveRoom(t *testing.T, disk, fill string, room int64) {
	t.Helper()
	var state syscall.Statfs_t
	if err := syscall.Statfs(disk, &state); err != nil {
		t.Fatal(err)
	}
	if size := int64(state.Bavail)*state.Bsize - room; size > 0 {
		if err := os.WriteFile(fill, make([]byte, size), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}
