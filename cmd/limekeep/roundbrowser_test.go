package main

import (
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// roundSeen is what .ci/clients/round.mjs saw.
type roundSeen struct {
	Pages []struct {
		What, Address, Text      string
		ScrollWidth, ClientWidth int
	}
	Sheets  []printedSheet
	Menus   map[string][]string
	Windows []windowSeen
}

// A technician's week on a phone: in by an invitation to one place of two, the round, what
// to load, a visit booked, what another day would risk, the visit with a finding, its report
// signed and printed. Staff see their routine, and none of that.
func TestTechniciansWeekOnAPhone(t *testing.T) {
	if testing.Short() {
		t.Skip("it needs programs that the quick run does without; make test has them")
	}
	s := &served{t: t, folder: t.TempDir()}
	for _, cafe := range []string{"amsel", "birke"} {
		s.run("setup", filepath.Join("testdata", "cafes", cafe+".yaml"))
	}
	command := s.command("password", "set")
	command.Stdin = strings.NewReader("several words in a row\n")
	mustRun(t, command)
	invited := func(name, role string) string {
		link := regexp.MustCompile(`/invited/\S+`).FindString(s.run("people", "invite", name, "--role", role, "--at", "amsel", "--base", "http://127.0.0.1"))
		if link == "" {
			t.Fatalf("no link for %s was printed", name)
		}
		return link
	}
	technician, staff := invited("Anna", "technician"), invited("Sam", "staff")
	s.serve("serve", "--listen", "127.0.0.1:0", "--worlds", "20", "--effort", "20000", "--round", filepath.Join("testdata", "cafes", "round.yaml"))
	s.waitReady()

	home := t.TempDir()
	drive := exec.CommandContext(t.Context(), "node", filepath.Join("..", "..", ".ci", "clients", "round.mjs"), chromium(t), s.pages, technician, staff, t.TempDir())
	drive.Env = append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "XDG_CACHE_HOME="+home)
	var complaints bytes.Buffer
	drive.Stderr = &complaints
	out, err := drive.Output()
	if err != nil {
		t.Fatalf("the browser's driver: %v\n%s", err, complaints.String())
	}
	var seen roundSeen
	if err := json.Unmarshal(out, &seen); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, w := range seen.Windows {
		noFaults(t, w.Window, w.faults())
	}
	says := map[string][]string{
		"invited": {"Anna"}, "places": {"1 place"}, "round": {"Round", "on the road", "Book it"}, "load": {"Load"}, "booked": {"visit is booked", "Booked"},
		"visit": {"Another day", "Withdraw it", "for four weeks"}, "risk": {"Move it to"}, "found": {"done"}, "ended": {"What came of the sitting", "Service report"},
		"report": {"Service report", "K. Berg", "by torch, 2.5 mm", "Anna"}, "van": {"What is in the van"}, "invited to routine": {"Sam"}, "staff": {"Routine", "Something was done or found"},
	}
	for _, p := range seen.Pages {
		if p.ScrollWidth > p.ClientWidth || p.ClientWidth != 360 {
			t.Errorf("%s: %d pixels wide in %d", p.What, p.ScrollWidth, p.ClientWidth)
		}
		for _, want := range says[p.What] {
			if !strings.Contains(p.Text, want) {
				t.Errorf("%s at %s does not say %q:\n%.800s", p.What, p.Address, want, p.Text)
			}
		}
		if strings.Contains(p.Text, "Birke") {
			t.Errorf("%s tells of a place that they were not invited to", p.What)
		}
		delete(says, p.What)
	}
	for what := range says {
		t.Errorf("%s was never looked at", what)
	}
	for _, sheet := range seen.Sheets {
		for _, fault := range sheet.faults(t) {
			t.Errorf("%s on %s: %s", sheet.What, sheet.Format, fault)
		}
		if !strings.Contains(sheet.Text, "K. Berg") {
			t.Errorf("%s: nobody signed the sheet", sheet.Format)
		}
	}
	if len(seen.Sheets) != 2 {
		t.Errorf("%d sheets were printed", len(seen.Sheets))
	}
	if menu := seen.Menus["technician"]; !slices.Contains(menu, "Round") || slices.Contains(menu, "People") {
		t.Errorf("the technician's menu is %q", menu)
	}
	if menu := seen.Menus["staff"]; slices.Contains(menu, "Plan") || slices.Contains(menu, "Round") || !slices.Contains(menu, "Use") {
		t.Errorf("the menu of staff is %q", menu)
	}
	if reports := s.run("reports", "--place", "amsel"); !strings.Contains(reports, "signed by K. Berg") {
		t.Errorf("the records have %q", reports)
	}
}

// waitReady waits until every place is worked out.
func (s *served) waitReady() {
	s.t.Helper()
	for {
		request, err := http.NewRequestWithContext(s.t.Context(), http.MethodGet, strings.TrimRight(s.pages, "/")+"/readyz", nil)
		if err != nil {
			s.t.Fatal(err)
		}
		if answer, err := http.DefaultClient.Do(request); err == nil {
			answer.Body.Close()
			if answer.StatusCode == http.StatusOK {
				return
			}
		}
		time.Sleep(20 * time.Millisecond)
	}
}
