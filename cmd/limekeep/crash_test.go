package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"limekeep/schedule/care"
	"limekeep/store"
)

// acknowledged finds the number of a record in what a command says.
var acknowledged = regexp.MustCompile(`(?m)^record (\d+),| as record (\d+)$`)

// Commands are killed at random moments while they write, take logs and copy: what was
// acknowledged is there, and the file is sound. With the server of the next test and the
// migrations of store (TestKilledWhileMigrating) these are thirty rounds, and a thousand with
// LIMEKEEP_SOAK. SIGKILL leaves what the system has taken in; power loss is another matter
// (TestPowerLoss in store).
func TestKilledCommandsLoseNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("it starts many processes; make test has it")
	}
	rounds := 20
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		rounds = 600
	}
	s := &served{t: t, folder: t.TempDir()}
	s.run("setup", "demoplace.yaml")
	rng := rand.New(rand.NewPCG(1, 2)) //nolint:gosec // chance that can be had again
	var known []int64
	whole := time.Duration(0) // how long a command takes when it is let be
	for round := range rounds {
		args := []string{"done", "machine/backflush-water", "--note", fmt.Sprint("round ", round)}
		switch round % 5 {
		case 2:
			args = []string{"use", "import", s.logOf(round), "--as-written"}
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
			id, err := strconv.ParseInt(found[1]+found[2], 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			known = append(known, id)
		}
	}
	s.holds(known)
	if len(known) < rounds/20 {
		t.Errorf("%d of %d commands were let end: too few to tell anything", len(known), rounds)
	}
	// A copy is whole or not there.
	copies, err := filepath.Glob(filepath.Join(s.folder, "copy-*.db"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range copies {
		if err := store.CheckFile(t.Context(), path); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
	t.Logf("%d rounds, %d records acknowledged, %d copies", rounds, len(known), len(copies))
}

// logOf writes a log of shots of days of its own, and returns its path.
func (s *served) logOf(round int) string {
	s.t.Helper()
	var log strings.Builder
	log.WriteString("date,time,dose,yield,seconds\n")
	for i := range 400 {
		fmt.Fprintf(&log, "%s,%02d:%02d,18.%d,36.0,28\n", time.Now().AddDate(0, 0, -400-i%200).Format(time.DateOnly), i/60, i%60, round%10)
	}
	path := filepath.Join(s.folder, fmt.Sprintf("log-%d.csv", round))
	if err := os.WriteFile(path, []byte(log.String()), 0o600); err != nil {
		s.t.Fatal(err)
	}
	return path
}

// holds fails where the file is not sound, or a record is gone.
func (s *served) holds(known []int64) []historyRow {
	s.t.Helper()
	db, err := store.Open(s.t.Context(), s.records(), nil)
	if err != nil {
		s.t.Fatal(err)
	}
	defer db.Close()
	if err := db.Check(s.t.Context()); err != nil {
		s.t.Error(err)
	}
	var lines []historyRow
	if err := json.Unmarshal([]byte(s.run("history", "--json")), &lines); err != nil {
		s.t.Fatal(err)
	}
	there := map[int64]bool{}
	for _, l := range lines {
		there[l.Record] = true
	}
	for _, id := range known {
		if !there[id] {
			s.t.Errorf("record %d was acknowledged and is gone", id)
		}
	}
	return lines
}

// historyRow is a line of history as JSON has it.
type historyRow struct {
	Record             int64
	Kind, Says, Source string
}

// A server is killed at random moments while forms and ticks of task apps come in: what was
// acknowledged is there, each tick once.
func TestKilledServerLosesNothing(t *testing.T) {
	s := kitchenToServe(t)
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	rounds := 4
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		rounds = 100
	}
	rng := rand.New(rand.NewPCG(7, 8)) //nolint:gosec // chance that can be had again
	var known []int64
	ticked, tried := map[string]bool{}, map[string]int{}
	// Where a machine is so slow that nothing was acknowledged, it goes on, and kills later.
	for round := 0; round < rounds || round < 5*rounds && (len(known) < rounds || len(ticked) == 0); round++ {
		most := time.Duration(max(1, round-rounds+2)) * 700 * time.Millisecond
		server, pages := s.serveAgain()
		killed := make(chan struct{})
		time.AfterFunc(time.Duration(rng.Float64()*float64(most)), func() {
			_ = server.Process.Kill()
			_ = server.Wait()
			close(killed)
		})
		client := plainClient()
		client.Timeout = time.Minute // the server that died answers nothing; never reached by one that lives
		written := regexp.MustCompile(`written=(\d+)`)
		for n := 0; ; n++ {
			answer, err := client.PostForm(pages+"use/shots", url.Values{"shots-shots": {strconv.Itoa(1 + n%4)}, "shots-date": {time.Now().AddDate(0, 0, -1-n%90).Format(time.DateOnly)}})
			if err != nil {
				break
			}
			_ = answer.Body.Close()
			if found := written.FindStringSubmatch(answer.Header.Get("Location")); found != nil {
				id, err := strconv.ParseInt(found[1], 10, 64)
				if err != nil {
					t.Fatal(err)
				}
				known = append(known, id)
			}
			task, ok := s.tickOne(catalogue, client, pages, ticked)
			if tried[task]++; ok {
				ticked[task] = true
			}
		}
		<-killed
	}
	lines := s.holds(known)
	for task := range ticked {
		services := 0
		for _, l := range lines {
			if l.Kind == "service" && strings.HasPrefix(l.Says, task) {
				services++
			}
		}
		// One that was written down without an answer left another turn to be ticked; what
		// another had done as well when its tick came needs no service of its own.
		if services < 1 && !coveredByAny(catalogue, task, lines) || services > tried[task] {
			t.Errorf("%s was ticked off %d times, and %d services are written down", task, tried[task], services)
		}
	}
	if len(known) < rounds || len(ticked) == 0 {
		t.Errorf("%d forms and %d ticks were acknowledged: too few to tell anything", len(known), len(ticked))
	}
	t.Logf("%d kills at least, %d forms and %d ticks acknowledged", rounds, len(known), len(ticked))
}

// coveredByAny reports whether a service written down does a task as well, by the catalogue.
func coveredByAny(catalogue *care.Catalogue, task string, lines []historyRow) bool {
	of, kind, part := partsOf(task)
	for _, other := range catalogue.Tasks {
		id := strings.TrimSuffix(of+"/"+other.ID+"/"+part, "/")
		if slices.Contains(other.Covers, kind) && slices.ContainsFunc(lines, func(l historyRow) bool {
			return l.Kind == "service" && strings.HasPrefix(l.Says, id)
		}) {
			return true
		}
	}
	return false
}

// wantsValues reports whether a tick of a task writes no service, since what was measured is
// wanted, by the catalogue.
func wantsValues(catalogue *care.Catalogue, task string) bool {
	_, kind, _ := partsOf(task)
	return slices.ContainsFunc(catalogue.Tasks, func(of care.Task) bool {
		return of.ID == kind && (of.TestsWater() || of.Records != "")
	})
}

// partsOf returns the equipment of a task of a place, its kind in the catalogue, and the part.
func partsOf(task string) (equipment, kind, part string) {
	equipment, rest, _ := strings.Cut(task, "/")
	kind, part, _ = strings.Cut(rest, "/")
	return equipment, kind, part
}

// serveAgain starts another server over the same records, and returns its address.
func (s *served) serveAgain(flags ...string) (*exec.Cmd, string) {
	s.t.Helper()
	server := s.command(append([]string{"serve", "--listen", "127.0.0.1:0"}, flags...)...)
	out, err := server.StdoutPipe()
	if err != nil {
		s.t.Fatal(err)
	}
	if err := server.Start(); err != nil {
		s.t.Fatal(err)
	}
	pages := ""
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if address, ok := strings.CutPrefix(lines.Text(), "pages:"); ok {
			pages = strings.TrimSpace(address)
		}
		if strings.HasPrefix(lines.Text(), "stop with") {
			break
		}
	}
	if pages == "" {
		s.t.Fatal("the server said no address")
	}
	return server, pages
}

var (
	todoHref = regexp.MustCompile(`<[A-Za-z:]*href>([^<]*\.ics)</`)
	todoURL  = regexp.MustCompile(`URL[^:\r\n]*:[^\r\n]*/tasks/([^\r\n]+)`)
	status   = regexp.MustCompile(`STATUS:[A-Z-]+\r\n`)
)

// collection is where the to-dos are, and listObjects asks for a list of them.
const (
	collection  = "/dav/" + servedUser + "/todos/" + servedUser + "/"
	listObjects = `<propfind xmlns="DAV:"><prop><getetag/></prop></propfind>`
)

// askDAV asks as a task app does, and returns the status and what was answered; no status
// where nothing was.
func (s *served) askDAV(client *http.Client, pages, method, path, body, kind string) (int, string) {
	s.t.Helper()
	r, err := http.NewRequestWithContext(s.t.Context(), method, strings.TrimSuffix(pages, "/")+path, strings.NewReader(body))
	if err != nil {
		s.t.Error(err)
		return 0, ""
	}
	r.SetBasicAuth(servedUser, s.password)
	r.Header.Set("Content-Type", kind)
	r.Header.Set("Depth", "1")
	answer, err := client.Do(r)
	if err != nil {
		return 0, ""
	}
	defer answer.Body.Close()
	data, _ := io.ReadAll(answer.Body) // cut off where the server dies
	return answer.StatusCode, string(data)
}

// tickOne ticks a to-do off whose task was not yet, and returns the task where that was
// acknowledged.
func (s *served) tickOne(catalogue *care.Catalogue, client *http.Client, pages string, ticked map[string]bool) (string, bool) {
	send := func(method, path, body, kind string) (int, string) {
		return s.askDAV(client, pages, method, path, body, kind)
	}
	_, listed := send("PROPFIND", collection, listObjects, "application/xml")
	for _, href := range todoHref.FindAllStringSubmatch(listed, -1) {
		_, todo := send("GET", href[1], "", "text/calendar")
		task := todoURL.FindStringSubmatch(strings.ReplaceAll(todo, "\r\n ", ""))
		if task == nil || ticked[task[1]] || wantsValues(catalogue, task[1]) || strings.Contains(todo, "STATUS:COMPLETED") {
			continue
		}
		done := strings.Replace(status.ReplaceAllString(todo, ""), "END:VTODO", "STATUS:COMPLETED\r\nEND:VTODO", 1)
		code, _ := send("PUT", href[1], done, "text/calendar")
		return task[1], code >= 200 && code < 300
	}
	return "", false
}
