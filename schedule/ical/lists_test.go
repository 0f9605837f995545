package ical

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// Programs for the command line that people keep calendars and to-dos with. They
// are slow, so they are given fewer households.

// soaking reports whether the long forms are to run.
func soaking() bool { return os.Getenv("LIMEKEEP_SOAK") != "" }

// shownZone is the zone that the programs are set to show times in. It keeps no
// summer time, so that no time is shown twice.
const shownZone = "Asia/Kathmandu"

// run runs a program with a home of its own. Whatever it remarks on is a failure.
func run(t *testing.T, home string, program string, arguments ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(program)
	if err != nil {
		t.Fatalf("%s is not there: run `bash .ci/install`", program)
	}
	command := exec.CommandContext(t.Context(), path, arguments...)
	command.Env = []string{"PATH=/usr/bin:/bin", "HOME=" + home, "XDG_CONFIG_HOME=" + home, "XDG_DATA_HOME=" + home, "XDG_CACHE_HOME=" + home, "TZ=" + shownZone, "LC_ALL=C.UTF-8"}
	var remarks bytes.Buffer
	command.Stderr = &remarks
	out, err := command.Output()
	if err != nil || remarks.Len() > 0 {
		t.Fatalf("%s: %v\n%s", program, err, remarks.String())
	}
	return out
}

// khal takes in the feeds of 10 households, 25 in the long form, and shows each event as it went in:
// when it starts and ends, its texts, whether it is certain, recurs and reminds.
func TestKhalShowsTheSame(t *testing.T) {
	needsPrograms(t)
	feeds := uint64(4)
	if soaking() {
		feeds = 25
	}
	home := t.TempDir()
	write(t, home, "khal.conf", []byte(strings.NewReplacer("HOME", home, "ZONE", shownZone).Replace(`[calendars]
[[care]]
path = HOME/care
type = calendar
[sqlite]
path = HOME/khal.db
[locale]
local_timezone = ZONE
default_timezone = ZONE
timeformat = %H:%M:%S
dateformat = %Y-%m-%d
longdateformat = %Y-%m-%d
datetimeformat = %Y-%m-%d %H:%M:%S
longdatetimeformat = %Y-%m-%d %H:%M:%S
[default]
default_calendar = care
`)))
	if err := os.Mkdir(filepath.Join(home, "care"), 0o755); err != nil {
		t.Fatal(err)
	}
	shown := zone(t, shownZone)
	take := []string{"-c", filepath.Join(home, "khal.conf"), "import", "--batch", "-a", "care"}
	want := map[string][]string{}
	for seed := range feeds {
		a := household(seed)
		file := fmt.Sprintf("%d.ics", seed)
		write(t, home, file, encode(t, a))
		take = append(take, filepath.Join(home, file))
		for _, item := range hearEvents(a) {
			want[item.UID] = khalShows(t, item, shown)
		}
	}
	run(t, home, "khal", take...)
	const fields = "{uid}\x1f{title}\x1f{description}\x1f{url}\x1f{all-day}\x1f{start-long}\x1f{end-long}\x1f{status}\x1f{repeat-pattern}\x1f{alarm-symbol}\x1e"
	out := run(t, home, "khal", "-c", filepath.Join(home, "khal.conf"), "list", "--once", "--day-format", "", "--format", fields, "2025-01-01", "2030-06-01")
	got := map[string][]string{}
	for line := range strings.SplitSeq(string(out), "\x1e") {
		if line = strings.TrimPrefix(line, "\n"); line != "" {
			parts := strings.Split(line, "\x1f")
			got[parts[0]] = parts[1:]
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// khalShows is what khal shows of an event. Ends of whole days are inclusive.
func khalShows(t *testing.T, item heardItem, zone *time.Location) []string {
	t.Helper()
	at := func(text string) string {
		instant, err := time.Parse(time.RFC3339, text)
		if err != nil {
			t.Fatal(err)
		}
		return instant.In(zone).Format(time.DateTime)
	}
	allDay, start, end := "True", item.Start, item.Start
	if !item.AllDay {
		allDay, start, end = "False", at(item.Start), at(item.End)
	}
	alarm := ""
	if len(item.Alarms) > 0 {
		alarm = " ⏰"
	}
	rule := item.Rule
	if rule == "FREQ=DAILY" {
		rule += ";INTERVAL=1"
	}
	// Python's str.strip, of what is left of the text: no other white space is in it.
	description := strings.TrimFunc(khalText(item.Description), func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\u00a0' })
	return []string{khalText(item.Summary), description, item.URL, allDay, start, end, item.Status + " ", rule, alarm}
}

// todoman reads every to-do of 20 households, 60 in the long form: texts, when it is due, what is done.
func TestTodomanShowsTheSame(t *testing.T) {
	needsPrograms(t)
	lists := uint64(20)
	if soaking() {
		lists = 60
	}
	home := t.TempDir()
	write(t, home, "config.py", []byte(fmt.Sprintf("path = %q\ndate_format = \"%%Y-%%m-%%d\"\ntime_format = \"%%H:%%M\"\ncache_path = %q\n",
		filepath.Join(home, "lists", "*"), filepath.Join(home, "todo.db"))))
	type shown struct {
		Summary     string `json:"summary"`
		Description string `json:"description"`
		Due         int64  `json:"due"`
		Completed   bool   `json:"completed"`
		CompletedAt int64  `json:"completed_at"`
		Percent     int    `json:"percent"`
		List        string `json:"list"`
	}
	unix := func(text string) int64 {
		if text == "" {
			return 0
		}
		at, err := time.Parse(time.RFC3339, text)
		if err != nil { // a whole day is its midnight on the clock of the machine
			at, err = time.ParseInLocation(time.DateOnly, text, zone(t, shownZone))
		}
		if err != nil {
			t.Fatal(err)
		}
		return at.Unix()
	}
	want, got := map[string]shown{}, map[string]shown{}
	for seed := range lists {
		a := household(seed)
		todos, err := Todos(a, ticks(a))
		if err != nil {
			t.Fatal(err)
		}
		for i, item := range hearTodos(a, ticks(a)) {
			list := fmt.Sprintf("%d-%d", seed, i) // a list each, since it gives no UID
			folder := filepath.Join(home, "lists", list)
			if err := os.MkdirAll(folder, 0o755); err != nil {
				t.Fatal(err)
			}
			write(t, folder, todos[i].Name, todos[i].Data)
			want[list] = shown{
				Summary: icalendarText("", item.Summary), Description: icalendarText("", item.Description), Due: unix(item.Due),
				Completed: item.Completed != "", CompletedAt: unix(item.Completed), Percent: item.Percent, List: list,
			}
		}
	}
	var all []shown
	if err := json.Unmarshal(run(t, home, "todoman", "--config", filepath.Join(home, "config.py"), "--porcelain", "list", "--status", "ANY"), &all); err != nil {
		t.Fatal(err)
	}
	for _, s := range all {
		got[s.List] = s
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
