package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"
	"maps"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// serveNothing serves before a place is set up, until the test ends.
func serveNothing(t *testing.T) *served {
	t.Helper()
	if testing.Short() {
		t.Skip("it needs programs that the quick run does without; make test has them")
	}
	s := &served{t: t, folder: t.TempDir()}
	server := s.command("serve", "--listen", "127.0.0.1:0", "--worlds", "20", "--effort", "20000")
	server.Env = append(server.Env, "TZ=Europe/Lisbon")
	out, err := server.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var log bytes.Buffer
	server.Stderr = &log
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = server.Process.Signal(os.Interrupt)
		if err := server.Wait(); err != nil {
			t.Errorf("the server ended with %v\n%s", err, log.String())
		}
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	address := regexp.MustCompile(`http://\S+`).FindString(line)
	if err != nil || !strings.Contains(line, "no place is set up yet") || address == "" {
		t.Fatalf("the server says %q, %v\n%s", line, err, log.String())
	}
	s.pages = strings.TrimSuffix(address, "/setup")
	go func() { _, _ = io.Copy(io.Discard, out) }() // so that it can go on writing
	return s
}

// From nothing to a subscribed calendar and a first service with questions alone, in a
// browser on a phone without scripts.
func TestBrowserOnTheFirstDay(t *testing.T) {
	s := serveNothing(t)
	cmd := exec.CommandContext(t.Context(), "node", filepath.Join("..", "..", ".ci", "clients", "firstday.mjs"), chromium(t), s.pages)
	home := t.TempDir()
	cmd.Env = append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "XDG_CACHE_HOME="+home)
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("the browser's driver: %v\n%s", err, complaints.String())
	}
	var seen struct {
		Questions                        []struct{ ID, Ask, Costs string }
		Wide                             []any
		Errors                           []string
		Review, SetUp, Calendar, Service string
		Axe                              []axeRun
	}
	if err := json.Unmarshal(out, &seen); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if len(seen.Wide) > 0 || len(seen.Errors) > 0 {
		t.Errorf("wider than the phone, or too small to touch: %v; errors %v", seen.Wide, seen.Errors)
	}
	looked := map[string]int{}
	for _, a := range seen.Axe {
		looked[a.Page]++
		noFaults(t, a.Window+", "+a.Page, a.faults())
		if !slices.Contains(a.Applied, "color-contrast") || a.Whole != slices.Contains(a.Applied, "document-title") {
			t.Errorf("%s, %s: only %v applied", a.Window, a.Page, a.Applied)
		}
	}
	if want := map[string]int{"choice": 2, "mistake": 2, "review": 2, "setup": 2}; !maps.Equal(looked, want) {
		t.Errorf("axe looked at %v, want %v", looked, want)
	}
	asked := []string{}
	for _, q := range seen.Questions {
		asked = append(asked, q.ID)
		if q.Costs == "" || !strings.HasPrefix(q.Costs, "If you do not know") {
			t.Errorf("%s: not to know costs %q", q.ID, q.Costs)
		}
	}
	slices.Sort(asked)
	if len(asked) < 15 || len(slices.Compact(asked)) != len(seen.Questions) {
		t.Errorf("asked %v", asked)
	}
	for what, holds := range map[string][2]string{
		"the review":   {seen.Review, "What was assumed"},
		"the set-up":   {seen.SetUp, "The next three things to do"},
		"a place file": {seen.SetUp, "layout: two boilers"},
		"the calendar": {seen.Calendar, "webcal:"},
		"the service":  {seen.Service, "Backflush with detergent is next due about"},
	} {
		if !strings.Contains(holds[0], holds[1]) {
			t.Errorf("%s does not say %q:\n%s", what, holds[1], holds[0])
		}
	}
	// What the calendar's address gives out is a calendar with entries.
	feed := regexp.MustCompile(`webcal://[^"<]+\.ics`).FindString(seen.Calendar)
	answer, err := http.Get(strings.Replace(feed, "webcal://", "http://", 1)) //nolint:noctx // the test's own server
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	calendar, err := io.ReadAll(answer.Body)
	if err != nil || !strings.Contains(string(calendar), "BEGIN:VEVENT") {
		t.Errorf("%s: %v\n%.300s", feed, err, calendar)
	}
}
