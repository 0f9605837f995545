package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// served is a place that is served by a process of its own, as a user runs it,
// with a password for a task app.
type served struct {
	t        *testing.T
	folder   string
	pages    string // address
	link     string // that sets the password; empty where none was asked for
	pid      int    // of the server
	password string
	data     string // where the records are; a file in the folder where empty
	today    string // taken for today; the day that it is where empty
}

const servedUser = "kitchen"

// kitchenToServe returns a kitchen that is set up, in a file of the test's own that is a
// copy of one. The quick run leaves out what needs the programs of others, or takes long.
func kitchenToServe(t *testing.T) *served {
	t.Helper()
	withOtherPrograms(t)
	s := &served{t: t, folder: t.TempDir()}
	setUpKitchen.Do(func() {
		first := &served{t: t, folder: t.TempDir()}
		first.setUp()
		var err error
		if kitchenFile, err = os.ReadFile(first.records()); err != nil {
			t.Fatal(err)
		}
		kitchenPassword = first.password
	})
	if len(kitchenFile) == 0 {
		t.Fatal("the kitchen could not be set up")
	}
	if err := os.WriteFile(s.records(), kitchenFile, 0o600); err != nil {
		t.Fatal(err)
	}
	s.password = kitchenPassword
	return s
}

// A kitchen that is set up, and the password of its task app.
var (
	setUpKitchen    sync.Once
	kitchenFile     []byte
	kitchenPassword string
)

// setUp sets the kitchen up by commands.
func (s *served) setUp() {
	s.t.Helper()
	place, err := os.ReadFile(filepath.Join("testdata", "kitchen.yaml"))
	if err != nil {
		s.t.Fatal(err)
	}
	file := filepath.Join(s.folder, "place.yaml")
	if err := os.WriteFile(file, bytes.Replace(place, []byte("id: harbour-kitchen"), []byte("id: "+servedUser), 1), 0o600); err != nil {
		s.t.Fatal(err)
	}
	s.run("setup", file)
	s.run("water", "add", "--hardness", "14 dH", "--alkalinity", "11 dH", "--method", "drop")
	var account struct{ Password string }
	if err := json.Unmarshal([]byte(s.run("apps", "add", "laptop", "--json")), &account); err != nil {
		s.t.Fatal(err)
	}
	s.password = account.Password
}

// serveKitchen sets a kitchen up and serves it until the test ends.
func serveKitchen(t *testing.T, flags ...string) *served {
	t.Helper()
	s := kitchenToServe(t)
	s.serve(append([]string{"serve", "--listen", "127.0.0.1:0"}, flags...)...)
	return s
}

// serveKitchenToday sets a kitchen up and serves it, on browsedToday, until the test ends.
func serveKitchenToday(t *testing.T, flags ...string) *served {
	t.Helper()
	withOtherPrograms(t)
	s := &served{t: t, folder: t.TempDir(), today: browsedToday}
	s.setUp()
	s.serve(append([]string{"serve", "--listen", "127.0.0.1:0"}, flags...)...)
	return s
}

// browsedToday is a day on which a round of the routine is to be ticked, whatever day it is:
// one that comes every three days is not there on each.
const browsedToday = "2026-11-27"

// withOtherPrograms leaves a test out of the quick run.
func withOtherPrograms(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("it needs programs that the quick run does without; make test has them")
	}
}

// serveDemo serves the year of records that the demo invents until the test ends.
func serveDemo(t *testing.T, flags ...string) *served {
	t.Helper()
	withOtherPrograms(t)
	s := &served{t: t, folder: t.TempDir(), today: browsedToday}
	s.serve(append([]string{"demo", "--out", filepath.Join(s.folder, "demo.ics")}, flags...)...)
	return s
}

// serve runs a command that serves pages until the test ends.
func (s *served) serve(args ...string) {
	s.t.Helper()
	t := s.t
	server := s.command(args...)
	out, err := server.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var log bytes.Buffer
	server.Stderr = &log
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	s.pid = server.Process.Pid
	t.Cleanup(func() {
		_ = server.Process.Signal(os.Interrupt)
		if err := server.Wait(); err != nil {
			t.Errorf("the server ended with %v\n%s", err, log.String())
		}
	})
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if address, ok := strings.CutPrefix(lines.Text(), "pages:"); ok {
			s.pages = strings.TrimSpace(address)
		}
		if link, ok := strings.CutPrefix(lines.Text(), "password:"); ok {
			s.link, _, _ = strings.Cut(strings.TrimSpace(link), " ")
		}
		if strings.HasPrefix(lines.Text(), "stop with") {
			break
		}
	}
	if s.pages == "" {
		t.Fatalf("the server said no address\n%s", log.String())
	}
	go func() { _, _ = io.Copy(io.Discard, out) }() // so that it can go on writing
}

// command is the program itself with the records of the test. How wide windows are, and
// how far a plan reaches, is not what it is run for.
func (s *served) command(args ...string) *exec.Cmd {
	s.t.Helper()
	program, err := os.Executable()
	if err != nil {
		s.t.Fatal(err)
	}
	env := s.env("LIMEKEEP_DATA="+s.records(), "LIMEKEEP_WORLDS=20", "LIMEKEEP_EFFORT=20000", "LIMEKEEP_MONTHS=9")
	if s.today != "" {
		env = append(env, "LIMEKEEP_TODAY="+s.today)
	}
	return &exec.Cmd{Path: program, Args: append([]string{"limekeep"}, args...), Env: env}
}

// records is where they are.
func (s *served) records() string {
	if s.data != "" {
		return s.data
	}
	return filepath.Join(s.folder, "records.db")
}

func (s *served) run(args ...string) string { return mustRun(s.t, s.command(args...)) }

func (s *served) env(more ...string) []string {
	return append(os.Environ(), append([]string{"HOME=" + s.folder, "XDG_CONFIG_HOME=" + s.folder, "LC_ALL=C.UTF-8"}, more...)...)
}

// client runs a program with the folder of the test for its home, and gives what
// it wrote. It must end as it should.
func (s *served) client(name string, args ...string) string {
	s.t.Helper()
	out, err := s.try(name, args...)
	if err != nil {
		s.t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return out
}

func (s *served) try(name string, args ...string) (string, error) {
	s.t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		s.t.Fatalf("%s is not there: run `make clients`", name)
	}
	cmd := exec.CommandContext(s.t.Context(), name, args...)
	cmd.Env = s.env()
	cmd.Stdin = strings.NewReader(strings.Repeat("y\n", 10))
	out, err := cmd.Output()
	if failed := (*exec.ExitError)(nil); err != nil && asExit(err, &failed) {
		err = fmt.Errorf("%w: %s", err, failed.Stderr)
	}
	return string(out), err
}

func asExit(err error, to **exec.ExitError) bool {
	return errors.As(err, to)
}

// services lists what was written down of a task, with the door it came in by.
func (s *served) services(task string) []string {
	s.t.Helper()
	var lines []struct{ Kind, Says, Source string }
	if err := json.Unmarshal([]byte(s.run("history", "--json")), &lines); err != nil {
		s.t.Fatal(err)
	}
	var found []string
	for _, l := range lines {
		if l.Kind == "service" && (task == "" || strings.HasPrefix(l.Says, task)) {
			found = append(found, l.Source)
		}
	}
	return found
}

// folderOf reads the to-dos that vdirsyncer keeps, by UID.
func (s *served) folderOf(dir string) map[string]string {
	s.t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.ics"))
	if err != nil {
		s.t.Fatal(err)
	}
	found := map[string]string{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			s.t.Fatal(err)
		}
		found[uidLine.FindStringSubmatch(string(text))[1]] = f
	}
	return found
}

var uidLine = regexp.MustCompile(`(?m)^UID:(.*?)\r?$`)

// vdirsyncer pairs with the collection and keeps it in step with a folder;
// todoman ticks a task off in that folder.
func TestVdirsyncerAndTodoman(t *testing.T) {
	s := serveKitchen(t)
	config := filepath.Join(s.folder, "vdirsyncer")
	write := func(path, text string) {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(config, fmt.Sprintf(`[general]
status_path = "%[1]s/status/"
[pair care]
a = "local"
b = "server"
collections = ["from b"]
conflict_resolution = "b wins"
[storage local]
type = "filesystem"
path = "%[1]s/todos/"
fileext = ".ics"
[storage server]
type = "caldav"
url = "%[2]s"
username = "%[3]s"
password = "%[4]s"
item_types = ["VTODO"]
`, s.folder, s.pages, servedUser, s.password))
	sync := func() { t.Helper(); s.client("vdirsyncer", "-c", config, "sync") }
	// While the rest of a plan follows a change, a run may come between and be
	// told that what it holds is out of date; the next one puts that right.
	mayFail := func() { _, _ = s.try("vdirsyncer", "-c", config, "sync") }
	s.client("vdirsyncer", "-c", config, "discover")
	sync()
	list := filepath.Join(s.folder, "todos", servedUser)
	first := s.folderOf(list)
	if len(first) < 30 {
		t.Fatalf("%d to-dos were fetched", len(first))
	}

	todoConfig := filepath.Join(s.folder, "todoman.py")
	write(todoConfig, fmt.Sprintf("path = %q\ndate_format = \"%%Y-%%m-%%d\"\ntime_format = \"%%H:%%M\"\ndefault_list = %q\ncache_path = %q\n",
		filepath.Join(s.folder, "todos", "*"), servedUser, filepath.Join(s.folder, "cache.sqlite3")))
	todoman := func(args ...string) string {
		t.Helper()
		return s.client("todoman", append([]string{"--config", todoConfig}, args...)...)
	}
	number := func(title string) string {
		t.Helper()
		var todos []struct {
			ID      int
			Summary string
		}
		if err := json.Unmarshal([]byte(todoman("--porcelain", "list")), &todos); err != nil {
			t.Fatal(err)
		}
		for _, todo := range todos {
			if strings.HasPrefix(todo.Summary, title) {
				return fmt.Sprint(todo.ID)
			}
		}
		t.Fatalf("todoman shows no %q among %v", title, todos)
		return ""
	}

	// Ticked off in todoman, the service is written down once.
	const task = "machine/steam-tips"
	todoman("done", number("Clean the steam tips"))
	sync()
	if got := s.services(task); !slices.Equal(got, []string{"task app: laptop"}) {
		t.Fatalf("services %q", got)
	}
	// The next turn comes by itself, and then nothing changes any more.
	s.await("PROPFIND", collection, func(listed string) bool { return strings.Count(listed, "machine.steam-tips.") >= 2 })
	s.settle(mayFail, func() bool {
		return len(slices.DeleteFunc(keys(s.folderOf(list)), func(uid string) bool { return !strings.Contains(uid, task) })) == 2
	})
	sync()
	before := s.snapshotOf(list)
	sync()
	if diff := cmp.Diff(before, s.snapshotOf(list)); diff != "" {
		t.Errorf("syncing changed the folder:\n%s", diff)
	}
	if got := s.services(""); len(got) != 1 {
		t.Errorf("services %q", got)
	}

	// What is done elsewhere reaches the client.
	s.run("done", "machine/pressure-gauge")
	s.await("GET", collection+"machine.pressure-gauge.0.ics", func(todo string) bool { return strings.Contains(todo, "STATUS:COMPLETED") })
	s.settle(mayFail, func() bool {
		text, err := os.ReadFile(s.folderOf(list)[servedUser+".machine/pressure-gauge.0.todo@limekeep"])
		return err == nil && bytes.Contains(text, []byte("STATUS:COMPLETED"))
	})

	// Edited on both sides, the server's stands, nothing is lost, and the next run
	// has nothing to do.
	const both = servedUser + ".machine/baskets.0.todo@limekeep"
	path := s.folderOf(list)[both]
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	write(path, strings.Replace(string(text), "SUMMARY:", "SUMMARY:Edited ", 1))
	s.run("done", "machine/baskets", "--note", "on the other side")
	s.await("GET", collection+"machine.baskets.0.ics", func(todo string) bool { return strings.Contains(todo, "On the other side") })
	s.settle(mayFail, func() bool {
		text, err := os.ReadFile(s.folderOf(list)[both])
		return err == nil && bytes.Contains(text, []byte("On the other side")) && !bytes.Contains(text, []byte("Edited"))
	})

	// More deletions than a person makes are taken back.
	uids := keys(s.folderOf(list))
	count := len(uids)
	gone := 0
	for _, uid := range uids {
		if strings.Contains(uid, "hand-grinder/") && gone < 5 {
			gone++
			if err := os.Remove(s.folderOf(list)[uid]); err != nil {
				t.Fatal(err)
			}
		}
	}
	if out, err := s.try("vdirsyncer", "-c", config, "sync"); err == nil {
		t.Errorf("%d deletions at once went through\n%s", gone, out)
	}
	s.settle(mayFail, func() bool { return len(s.folderOf(list)) == count })
	sync()
}

// await asks the collection until it answers so, which costs less than a client that asks.
func (s *served) await(method, path string, so func(answer string) bool) {
	s.t.Helper()
	for {
		if _, answer := s.askDAV(http.DefaultClient, s.pages, method, path, listObjects, "application/xml"); so(answer) {
			return
		}
		if s.t.Context().Err() != nil {
			s.t.Fatal("it never comes")
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// settle synchronises until something is so, within the time of the test.
func (s *served) settle(sync func(), so func() bool) {
	s.t.Helper()
	for !so() {
		if s.t.Context().Err() != nil {
			s.t.Fatal("it never comes")
		}
		sync()
	}
}

func keys(m map[string]string) []string {
	all := make([]string, 0, len(m))
	for k := range m {
		all = append(all, k)
	}
	slices.Sort(all)
	return all
}

func (s *served) snapshotOf(dir string) map[string]string {
	s.t.Helper()
	texts := map[string]string{}
	for uid, path := range s.folderOf(dir) {
		text, err := os.ReadFile(path)
		if err != nil {
			s.t.Fatal(err)
		}
		texts[uid] = string(text)
	}
	return texts
}

// walked is what a library saw on its walk.
type walked struct {
	Calendars []struct {
		Name       string
		URL        string
		Components []string
		Ctag       string
		SyncToken  string
	}
	Open, All, Objects []string
	OpenAfter          []string `json:"open_after"`
	Synced             int
	ByUID              string `json:"by_uid"`
	Edited             bool
	Status             string
	Changed, Gone      []string
	Created, Updated   []string
	Deleted            any
	Own                any
	Stale, Put         int
	Deletion           int
	Left               bool
}

func (s *served) walk(name string, args ...string) walked {
	s.t.Helper()
	var w walked
	out := s.client(name, args...)
	if err := json.Unmarshal([]byte(out), &w); err != nil {
		s.t.Fatalf("%v\n%s", err, out)
	}
	if len(w.Calendars) != 1 || w.Calendars[0].Name != "Machine care, Harbour kitchen" || !slices.Equal(w.Calendars[0].Components, []string{"VTODO"}) {
		s.t.Errorf("it found %+v", w.Calendars)
	}
	return w
}

// Python's caldav finds the collection from the root, and its own calls for
// to-dos, among them one that asks for what is not done, work against it.
func TestPythonCaldav(t *testing.T) {
	s := serveKitchen(t)
	const task, name = servedUser + ".machine/baskets.0.todo@limekeep", "machine.baskets.0.ics"
	w := s.walk("/usr/bin/python3", filepath.Join("..", "..", ".ci", "clients", "walk-caldav.py"), s.pages+"dav/", servedUser, s.password, task)
	const tested = servedUser + ".tap/water-test.0.todo@limekeep" // done when it was set up
	if len(w.Open) < 30 || !slices.Equal(append(slices.Clone(w.Open), tested), sortedLast(w.All, tested)) || w.Synced != len(w.All) || w.ByUID != task {
		t.Errorf("open %d, all %d, synced %d, by UID %s", len(w.Open), len(w.All), w.Synced, w.ByUID)
	}
	if !w.Edited || w.Status != "COMPLETED" || slices.Contains(w.OpenAfter, task) || !slices.Contains(w.Changed, name) || len(w.Gone) != 0 {
		t.Errorf("put right %t, status %s, changed %v, gone %v", w.Edited, w.Status, w.Changed, w.Gone)
	}
	if w.Own != "refused" || w.Deleted != true {
		t.Errorf("one of its own: %v, deleted: %v", w.Own, w.Deleted)
	}
	if got := s.services(""); !slices.Equal(got, []string{"task app: laptop"}) {
		t.Errorf("services %q", got)
	}
}

// sortedLast moves one of a list to its end.
func sortedLast(all []string, last string) []string {
	rest := slices.DeleteFunc(slices.Clone(all), func(s string) bool { return s == last })
	if len(rest) < len(all) {
		rest = append(rest, last)
	}
	return rest
}

// The same for tsdav, with entity tags and synchronisation by token.
func TestTsdav(t *testing.T) {
	s := serveKitchen(t)
	const task, name = servedUser + ".machine/baskets.0.todo@limekeep", "machine.baskets.0.ics"
	w := s.walk("node", filepath.Join("..", "..", ".ci", "clients", "walk-tsdav.mjs"), s.pages, servedUser, s.password, task)
	if c := w.Calendars[0]; c.Ctag == "" || c.SyncToken == "" || len(w.Objects) < 30 {
		t.Errorf("ctag %q, token %q, %d objects", c.Ctag, c.SyncToken, len(w.Objects))
	}
	if w.Stale != 412 || w.Put != 204 || w.Status != "COMPLETED" || !slices.Contains(w.Updated, name) {
		t.Errorf("stale %d, put %d, status %s, updated %v", w.Stale, w.Put, w.Status, w.Updated)
	}
	if w.Own != 403.0 || w.Deletion != 204 || w.Left {
		t.Errorf("one of its own: %v, deletion %d, still there %t", w.Own, w.Deletion, w.Left)
	}
	if got := s.services(""); !slices.Equal(got, []string{"task app: laptop"}) {
		t.Errorf("services %q", got)
	}
}

// A server that takes to-dos of the app's own makes tasks of them.
func TestAppsMayAddTasks(t *testing.T) {
	s := serveKitchen(t, "--take-todos")
	w := s.walk("/usr/bin/python3", filepath.Join("..", "..", ".ci", "clients", "walk-caldav.py"), s.pages+"dav/", servedUser, s.password, servedUser+".machine/baskets.0.todo@limekeep")
	if w.Own != "taken" {
		t.Errorf("one of its own was %v", w.Own)
	}
	if tasks := s.run("tasks"); !strings.Contains(tasks, "Of my own") {
		t.Errorf("it is no task:\n%s", tasks)
	}
}

// What a command says of addresses is where the place is served, whatever the port;
// what the settings say goes before it.
func TestAddressesWhereItServes(t *testing.T) {
	s := serveKitchen(t)
	if out := s.run("apps", "add", "phone"); !strings.Contains(out, "server address: "+s.pages+"dav/\n") || !strings.Contains(out, "this computer only") {
		t.Errorf("served at %s:\n%s", s.pages, out)
	}
	if out := s.run("calendar", "address"); !strings.Contains(out, s.pages+"calendar/") {
		t.Errorf("served at %s:\n%s", s.pages, out)
	}
	if out := s.run("apps", "add", "tablet", "--base", "https://care.example.org"); !strings.Contains(out, "server address: https://care.example.org/dav/\n") || strings.Contains(out, "this computer only") {
		t.Errorf("with a base of its own:\n%s", out)
	}
}
