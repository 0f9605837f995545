package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"limekeep/store"
)

// acknowledged finds the number of a record in what a command says.
var acknowledged = regexp.MustCompile(`(?m)^record (\d+),`)

// Commands are killed at random moments while they write, copy and bring the file up to
// date: what was acknowledged is there, and the file is sound. LIMEKEEP_SOAK makes the
// rounds a thousand. SIGKILL leaves what the system has taken in; power loss is another
// matter, for which the log is written through (synchronous=FULL).
func TestKilledCommandsLoseNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("it starts many processes; make test has it")
	}
	rounds := 30
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		rounds = 1000
	}
	s := &served{t: t, folder: t.TempDir()}
	s.run("setup", "demoplace.yaml")
	rng := rand.New(rand.NewPCG(1, 2)) //nolint:gosec // chance that can be had again
	var known []int64
	whole := time.Duration(0) // how long a command takes when it is let be
	for round := range rounds {
		args := []string{"done", "machine/backflush-water", "--note", fmt.Sprint("round ", round)}
		switch round % 5 {
		case 3:
			args = []string{"use", "add", "--shots", "2", "--date", time.Now().AddDate(0, 0, -1-round%300).Format(time.DateOnly)}
		case 4:
			args = []string{"backup", filepath.Join(s.folder, fmt.Sprintf("copy-%d.db", round))}
		}
		command := s.command(args...)
		var out bytes.Buffer
		command.Stdout = &out
		began := time.Now()
		if err := command.Start(); err != nil {
			t.Fatal(err)
		}
		if round > 0 { // the first tells how long one takes
			timer := time.AfterFunc(time.Duration(rng.Float64()*1.2*float64(whole)), func() { _ = command.Process.Kill() })
			defer timer.Stop()
		}
		err := command.Wait()
		if round == 0 {
			whole = time.Since(began)
			if err != nil {
				t.Fatal(err)
			}
		}
		for _, found := range acknowledged.FindAllStringSubmatch(out.String(), -1) {
			id, err := strconv.ParseInt(found[1], 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			known = append(known, id)
		}
	}
	db, err := store.Open(t.Context(), filepath.Join(s.folder, "records.db"), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.Check(t.Context()); err != nil {
		t.Error(err)
	}
	var lines []struct{ Record int64 }
	if err := json.Unmarshal([]byte(s.run("history", "--json")), &lines); err != nil {
		t.Fatal(err)
	}
	there := map[int64]bool{}
	for _, l := range lines {
		there[l.Record] = true
	}
	for _, id := range known {
		if !there[id] {
			t.Errorf("record %d was acknowledged and is gone", id)
		}
	}
	if len(known) < rounds/20 {
		t.Errorf("%d of %d commands were let end: too few to tell anything", len(known), rounds)
	}
	// A copy is whole or not there.
	copies, err := filepath.Glob(filepath.Join(s.folder, "copy-*.db"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range copies {
		if info, err := os.Stat(path); err == nil && info.Size() == 0 && strings.HasSuffix(path, ".db") {
			continue // its name was taken, and nothing is in it: no backup takes it for one
		}
		if err := store.CheckFile(t.Context(), path); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
	t.Logf("%d rounds, %d records acknowledged, %d copies", rounds, len(known), len(copies))
}
