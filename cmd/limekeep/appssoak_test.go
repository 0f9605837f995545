package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// What task apps do that stand on whole desktops: make soak brings them.
const (
	tickedThere  = servedUser + ".machine/portafilter.0.todo@limekeep"
	movedThere   = servedUser + ".machine/steam-tips.0.todo@limekeep"
	deletedThere = servedUser + ".machine/soak-screen/group.0.todo@limekeep"
)

func onlySoaking(t *testing.T) {
	t.Helper()
	if os.Getenv("LIMEKEEP_SOAK") == "" {
		t.Skip("it needs desktop programs, which make soak installs")
	}
}

// checkWalked sees that the tick was written down once, what was moved is where the
// plan has it, and nothing else was changed.
func (s *served) checkWalked(t *testing.T) {
	t.Helper()
	if got := s.services("machine/portafilter"); !slices.Equal(got, []string{"task app: laptop"}) {
		t.Errorf("services of what was ticked off: %q", got)
	}
	if got := s.services(""); len(got) != 1 {
		t.Errorf("services %q, want one", got)
	}
	file := filepath.Join(t.TempDir(), "care.ics")
	s.run("calendar", "--out", file)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(text), "2099") {
		t.Error("what was moved in the app has moved the plan")
	}
}

// Evolution Data Server has the to-dos as a task list, without a screen: it ticks one
// off, moves one and deletes one.
func TestEvolutionDataServer(t *testing.T) {
	onlySoaking(t)
	s := serveKitchen(t)
	out := s.client("env", "GSETTINGS_BACKEND=keyfile", "dbus-run-session", "--", "/usr/bin/python3", filepath.Join("..", "..", ".ci", "clients", "walk-eds.py"),
		s.pages+"dav/"+servedUser+"/todos/"+servedUser+"/", servedUser, s.password, tickedThere, movedThere, deletedThere)
	type todo struct{ Summary, Status, Due string }
	var w struct {
		Open          []string
		Before, After map[string]todo
		Came          []string
	}
	at := strings.Index(out, "{") // a keyring that wakes up says so on a line before
	if err := json.Unmarshal([]byte(out[max(0, at):]), &w); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if len(w.Open) < 30 || len(w.Before) != 3 {
		t.Errorf("%d to-dos, of the three %v", len(w.Open), w.Before)
	}
	if got := w.After[tickedThere]; !strings.Contains(got.Status, "COMPLETED") {
		t.Errorf("ticked off: %+v", got)
	}
	if got := w.After[movedThere]; got != w.Before[movedThere] {
		t.Errorf("moved: %+v, was %+v", got, w.Before[movedThere])
	}
	if got, ok := w.After[deletedThere]; ok {
		t.Errorf("deleted: %+v", got)
	}
	if len(w.Came) > 0 && !slices.ContainsFunc(w.Came, func(uid string) bool { return strings.HasPrefix(uid, servedUser+".machine/portafilter.") }) {
		t.Errorf("came: %v, want the next turn of what was ticked off at most", w.Came)
	}
	s.checkWalked(t)
}

// SyncEvolution keeps a folder in step. Of what it sent it takes the tag that it finds
// next for its own, so that what was put right shows there when it changes next; here
// only what the place has counts.
func TestSyncEvolution(t *testing.T) {
	onlySoaking(t)
	s := serveKitchen(t)
	folder := filepath.Join(s.folder, "todos")
	out := s.client("dbus-run-session", "--", filepath.Join("..", "..", ".ci", "clients", "walk-syncevolution.sh"),
		s.pages+"dav/", servedUser, s.password, tickedThere, movedThere, deletedThere, folder)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if len(lines) != 3 {
		t.Fatalf("it wrote %q", out)
	}
	if n, err := strconv.Atoi(strings.TrimSpace(lines[0])); err != nil || n < 30 {
		t.Errorf("%s to-dos at first", lines[0])
	}
	for i, line := range lines[1:] {
		there := strings.Fields(line)
		if slices.Contains(there, deletedThere) || !slices.Contains(there, tickedThere) || !slices.Contains(there, movedThere) {
			t.Errorf("after synchronisation %d: %v", i+2, there)
		}
	}
	s.checkWalked(t)
}
