package ical

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// client is an independent program that reads calendars.
type client struct {
	name string
	run  func(t *testing.T, folder string) *exec.Cmd
	// What it makes of things where it departs from the RFC; nil where it does not.
	text       func(property, text string) string
	categories func(name string) []string
	noLocal    bool                      // it does not say what the clock shows
	misreads   func(item heardItem) bool // where its own clock is wrong
}

// needsPrograms leaves a test out of the quick run, which does without the programs
// of others.
func needsPrograms(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("it needs programs that the quick run does without; make test has them")
	}
}

// readers is where the programs that read calendars for the tests are.
func readers(t *testing.T) string {
	t.Helper()
	folder, err := filepath.Abs(filepath.Join("..", "..", ".ci", "clients"))
	if err != nil {
		t.Fatal(err)
	}
	return folder
}

func node(script string) func(*testing.T, string) *exec.Cmd {
	return func(t *testing.T, folder string) *exec.Cmd {
		if _, err := os.Stat(filepath.Join(readers(t), "node_modules", "ical.js")); err != nil {
			t.Fatal("the independent calendar libraries are not there: run `make clients`")
		}
		command := exec.CommandContext(t.Context(), "node", filepath.Join(readers(t), script), folder)
		command.Env = append(os.Environ(), "TZ=Pacific/Chatham") // the clock of the machine is nobody's business
		return command
	}
}

// debianPython is the Python that Debian's python3-icalendar is installed for.
const debianPython = "/usr/bin/python3"

func icalendar(t *testing.T, folder string) *exec.Cmd {
	return exec.CommandContext(t.Context(), debianPython, filepath.Join(readers(t), "read-icalendar.py"), folder)
}

// libical compiles its reader, so that no binary has to be kept.
func libical(t *testing.T, folder string) *exec.Cmd {
	flags, err := exec.CommandContext(t.Context(), "pkg-config", "--cflags", "--libs", "libical").Output()
	if err != nil {
		t.Fatal("pkg-config and libical-dev are not there: run `bash .ci/install`")
	}
	program := filepath.Join(t.TempDir(), "read-libical")
	arguments := append([]string{"-O1", "-Wall", "-Werror", "-o", program, filepath.Join(readers(t), "read-libical.c")}, strings.Fields(string(flags))...)
	if out, err := exec.CommandContext(t.Context(), "cc", arguments...).CombinedOutput(); err != nil {
		t.Fatalf("cc: %v\n%s", err, out)
	}
	return exec.CommandContext(t.Context(), program, folder)
}

var clients = []client{
	{name: "ical.js", run: node("read-icaljs.mjs")},
	{name: "node-ical", run: node("read-nodeical.mjs"), text: nodeicalText, categories: nodeicalCategories, noLocal: true, misreads: nodeicalMisreads},
	{name: "icalendar", run: icalendar, text: icalendarText, categories: icalendarCategories},
	{name: "libical", run: libical, text: libicalText, categories: libicalCategories},
}

// hear runs a client over a folder of calendars. Whatever it remarks on is a
// failure.
func (c client) hear(t *testing.T, folder string) map[string]heard {
	t.Helper()
	command := c.run(t, folder)
	var remarks bytes.Buffer
	command.Stderr = &remarks
	out, err := command.Output()
	if err != nil || remarks.Len() > 0 {
		t.Fatalf("%s (`bash .ci/install` brings it, where it is not there): %v\n%s", c.name, err, remarks.String())
	}
	read := map[string]heard{}
	for line := range bytes.Lines(out) {
		var h heard
		if err := json.Unmarshal(line, &h); err != nil {
			t.Fatalf("%s: %v in %s", c.name, err, line)
		}
		read[h.File] = h
	}
	return read
}

// expects changes what went in as the client is known to read it.
func (c client) expects(items []heardItem) []heardItem {
	for i := range items {
		item := &items[i]
		if c.text != nil {
			item.Summary, item.Description = c.text("SUMMARY", item.Summary), c.text("DESCRIPTION", item.Description)
			for j := range item.AlarmTexts {
				item.AlarmTexts[j] = c.text("DESCRIPTION", item.AlarmTexts[j])
			}
		}
		if c.categories != nil && len(item.Categories) > 0 {
			item.Categories = c.categories(item.Categories[0])
		}
	}
	return items
}

// compare says where what was read is not what went in.
func (c client) compare(t *testing.T, file string, want, got []heardItem) {
	t.Helper()
	want = c.expects(want)
	for i := range got {
		got[i].settle()
		if i < len(want) && c.noLocal {
			got[i].Local = want[i].Local
		}
		if i < len(want) && c.misreads != nil && c.misreads(want[i]) {
			got[i].Start, got[i].End, got[i].Due, got[i].Minutes = want[i].Start, want[i].End, want[i].Due, want[i].Minutes
		}
	}
	if len(want)+len(got) > 0 && !reflect.DeepEqual(want, got) {
		t.Errorf("%s reads %s otherwise than it went in:\n%s", c.name, file, cmp.Diff(want, got))
	}
}

// settle writes what means the same in one way.
func (i *heardItem) settle() {
	// FREQ=DAILY;INTERVAL=1 is FREQ=DAILY (RFC 5545, 3.3.10); node-ical puts the
	// start before it.
	if _, rule, found := strings.Cut(i.Rule, "RRULE:"); found {
		i.Rule = rule
	}
	i.Rule = strings.TrimSuffix(i.Rule, ";INTERVAL=1")
	if i.Zone == "Etc/UTC" {
		i.Zone = "UTC"
	}
	for _, list := range []*[]string{&i.Categories, &i.AlarmTexts, &i.Related} {
		if len(*list) == 0 {
			*list = nil
		}
	}
	if len(i.Alarms) == 0 {
		i.Alarms = nil
	}
}

// households is how many invented households every client reads: 80, and 250 in the long
// form.
func households() uint64 {
	if soaking() {
		return 250
	}
	return 40
}

// Independent programs read every calendar without a remark, and the same dates,
// zones, alarms and texts that went in.
func TestClientsReadTheSame(t *testing.T) {
	needsPrograms(t)
	folder := t.TempDir()
	for seed := range households() {
		a := household(seed)
		write(t, folder, fmt.Sprintf("%d.ics", seed), encode(t, a))
		made, err := Todos(a, ticks(a))
		if err != nil {
			t.Fatal(err)
		}
		for i, todo := range made {
			write(t, folder, fmt.Sprintf("%d.%d.ics", seed, i), todo.Data)
		}
	}
	for _, c := range clients {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			read := c.hear(t, folder)
			for seed := range households() {
				a := household(seed)
				file := fmt.Sprintf("%d.ics", seed)
				if diff := cmp.Diff([]string{a.Zone.String()}, read[file].Zones); diff != "" {
					t.Errorf("%s: zones: %s", file, diff)
				}
				c.compare(t, file, hearEvents(a), read[file].Events)
				for i, want := range hearTodos(a, ticks(a)) {
					file := fmt.Sprintf("%d.%d.ics", seed, i)
					c.compare(t, file, []heardItem{want}, read[file].Todos)
				}
			}
		})
	}
}

func write(t *testing.T, folder, file string, data []byte) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(folder, file), data, 0o644); err != nil {
		t.Fatal(err)
	}
}
