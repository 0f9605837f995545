package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Tasks of the kitchen, of every sort that has a page of its own kind.
const (
	taskOnPhone   = "machine/descale/brew" // grams of scale
	taskOnDesktop = "machine/soak-screen/group"
	taskLicensed  = "machine/electrical-check"
	taskByTest    = "tap/water-test"
	taskByMeasure = "hand-grinder/shot-time"
)

// titles are what pages call the tasks that are written down.
var titles = map[string]string{taskOnPhone: "Descale the brew boiler", taskOnDesktop: "Soak screen and baskets"}

// browse drives a browser through the pages; not whole where the browser itself
// crashed on the way.
func (s *served) browse() (_ browserSeen, whole bool) {
	s.t.Helper()
	// Not a folder of the test: what the browser writes on its way out must not
	// keep the folder from being removed.
	home, err := os.MkdirTemp("", "limekeep-browser-")
	if err != nil {
		s.t.Fatal(err)
	}
	s.t.Cleanup(func() { _ = os.RemoveAll(home) })
	cmd := exec.CommandContext(s.t.Context(), "node", filepath.Join("..", "..", ".ci", "clients", "browse.mjs"),
		chromium(s.t), s.pages, taskOnPhone, taskOnDesktop, taskLicensed, taskByTest, taskByMeasure)
	cmd.Env = append(os.Environ(), "HOME="+home, "TMPDIR="+home, "XDG_CONFIG_HOME="+home, "XDG_CACHE_HOME="+home)
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil && strings.Contains(complaints.String(), "Target crashed") {
		s.t.Logf("the browser itself crashed: %s", complaints.String())
		return browserSeen{}, false
	}
	if err != nil {
		s.t.Fatalf("the browser's driver (`make clients` installs what it needs): %v\n%s", err, complaints.String())
	}
	var seen browserSeen
	if err := json.Unmarshal(out, &seen); err != nil {
		s.t.Fatalf("%v\n%s", err, out)
	}
	return seen, true
}

// mostCrashes bounds how often the browser may crash before that counts as ours: a
// renderer of Chromium's dies now and then on a machine with much else to do, which
// says nothing of the pages; one that dies of a page dies each time.
const mostCrashes = 3

// A browser goes through the pages of the program as a user runs it: on a phone
// without scripts, and on a desktop.
func TestBrowser(t *testing.T) {
	// How good the forecast is changes nothing of how the pages look.
	var s *served
	var seen browserSeen
	for crashes, whole := 0, false; !whole; crashes++ {
		if crashes == mostCrashes {
			t.Fatalf("the browser crashed %d times", crashes)
		}
		s = serveKitchenToday(t, "--worlds", "20", "--effort", "20000")
		seen, whole = s.browse()
	}
	t.Logf("Chromium %s; seconds %v", seen.Browser, seen.Seconds)
	for name, part := range map[string]func(*testing.T, *served, browserSeen){
		"windows": checkWindows, "looks": checkLooks, "keyboard": checkWalks, "cautions first": checkOrder,
		"main job": checkJobs, "sent again": checkRepeats, "foreign": checkForeign, "codes": checkCodes,
		"axe": checkAxe, "faults are seen": checkBroken, "records": checkRecords,
	} {
		t.Run(name, func(t *testing.T) { part(t, s, seen) })
	}
}

// browsedPages is how many pages the driver goes through in each kind of window.
const browsedPages = 35

func noFaults(t *testing.T, where string, faults []string) {
	t.Helper()
	for _, f := range faults {
		t.Errorf("%s: %s", where, f)
	}
}

// Nothing is complained of, nothing asked of other hosts, nothing missing; but for
// the forms that are refused on purpose, of which the console tells too.
func checkWindows(t *testing.T, _ *served, seen browserSeen) {
	if len(seen.Windows) != 10 {
		t.Errorf("%d windows were open", len(seen.Windows))
	}
	for _, w := range seen.Windows {
		if phone := strings.HasPrefix(w.Window, "phone"); w.Scripts == phone || w.Requests == 0 {
			t.Errorf("%s: scripts %t, %d requests", w.Window, w.Scripts, w.Requests)
		}
		if kind, what, _ := strings.Cut(w.Window, ": "); what == "job" || what == "repeats" {
			task := map[string]string{"phone": taskOnPhone, "desktop": taskOnDesktop}[kind]
			refused, said := fmt.Sprintf("422 /tasks/%s/done", task), "Failed to load resource: the server responded with a status of 422 (Unprocessable Entity)"
			if !slices.Contains(w.Refused, refused) {
				t.Errorf("%s: no form was refused", w.Window)
			}
			w.Refused = slices.DeleteFunc(w.Refused, func(r string) bool { return r == refused })
			w.Console = slices.DeleteFunc(w.Console, func(l string) bool { return l == said })
		}
		noFaults(t, w.Window, w.faults())
	}
}

// Pages fit their window, down to 320 pixels (WCAG 2.2, 1.4.10); inputs have
// labels, controls names; text can be read in light and in dark. The two kinds of windows
// take turns (itsTurn in browse.mjs) but for what is come to on the way; each has all of
// them in the long form.
func checkLooks(t *testing.T, _ *served, seen browserSeen) {
	pages := map[string][]string{}
	for _, l := range seen.Looks {
		where := l.Window + ", " + l.Page
		kind, _, _ := strings.Cut(l.Window, ":")
		pages[kind] = append(pages[kind], l.Page)
		noFaults(t, where, l.faults())
		if width := map[string]int{"phone": 360, "desktop": 1280}[kind]; l.Open.ClientWidth != width || l.Narrow.ClientWidth != 320 || l.Middle.ClientWidth != 768 {
			t.Errorf("%s: it was looked at in %d and %d pixels", where, l.Open.ClientWidth, l.Narrow.ClientWidth)
		}
		papers, kinds := map[string]string{}, map[string]int{}
		for _, c := range l.Contrasts {
			papers[c.Scheme] = c.Paper
			kinds[c.Kind] += c.Count
		}
		if len(papers) != 2 || papers["light"] == papers["dark"] {
			t.Errorf("%s: the papers are %v", where, papers)
		}
		want := map[string][]string{
			"index": {"text", "link", "button"}, "written": {"text", "link", "button"},
			"task": {"text", "link", "input", "button"}, "mistake": {"text", "link", "input", "button"}, "water": {"text", "link", "input", "button"},
		}[l.Page]
		for _, k := range append(want, "text", "link") {
			if kinds[k] == 0 {
				t.Errorf("%s: no %s was looked at", where, k)
			}
		}
		if inputs := map[string]int{"water": 24, "calendar": 2, "password": 2}[l.Page]; inputs > l.Inputs || l.Named["link"] < 5 {
			t.Errorf("%s: %d inputs, controls %v", where, l.Inputs, l.Named)
		}
		if l.Page == "calendar" && l.Named["image"] != 5 {
			t.Errorf("%s: codes among %v", where, l.Named)
		}
	}
	want := []string{"index", "task", "water", "history", "calendar", "use", "plan", "waters", "compare", "equipment", "machine", "vessel", "grinder", "what was done", "label", "labels", "score", "about", "dates", "setup", "settings", "change", "own calendar", "a shot log", "care", "the password", "retire", "add", "add a machine", "added so", "add tools", "sitting on paper", "plan on paper", "report", "visits", "password", "mistake", "written", "history with it"}
	for i, kind := range []string{"phone", "desktop"} {
		own := want
		if os.Getenv("LIMEKEEP_SOAK") == "" {
			own = nil
			for turn, page := range want {
				if turn >= browsedPages || turn%2 == i {
					own = append(own, page)
				}
			}
		}
		if diff := cmp.Diff(own, pages[kind]); diff != "" {
			t.Errorf("pages looked at on the %s:\n%s", kind, diff)
		}
	}
}

// Every control is reached by keyboard, in the order of the page, and shows it.
func checkWalks(t *testing.T, _ *served, seen browserSeen) {
	fields := map[string][]string{
		"history": nil, "plan": nil, // all is folded
		"index":    {"submit", "", "submit"}, // the sitting begun; the routine, its fold, ticked
		"task":     {"date", "finding", "grams", "note", "submit", "move", "move", "move", "day", "submit"},
		"use":      {"shots-shots", "shots-steamed", "shots-water", "shots-date", "shots-to", "shots-note", "submit"}, // the others are folded
		"calendar": {"confirm", "submit", "submit", "name", "opens", "submit"},                                        // and one for each app let in meanwhile
		"water":    {"date", "spot"},
	}
	// Beside a value stand what only some ways of testing ask for: the other end of a
	// range, what a drop stands for. More rows are folded.
	beside := [][]string{{"to", "drop"}, {"to", "drop"}, {"to"}, {}}
	for i, more := range beside {
		for _, input := range append([]string{"value", "unit", "method"}, more...) {
			fields["water"] = append(fields["water"], fmt.Sprintf("%s-%d", input, i+1))
		}
	}
	fields["water"] = append(fields["water"], "celsius", "note", "", "submit") // before the button the fold of a laboratory's sheet
	walked := map[string]int{}
	for _, w := range seen.Walks {
		where := w.Window + ", " + w.Page
		walked[w.Page]++
		noFaults(t, where, w.faults())
		if len(w.Stops) < 6 || w.Stops[0].Says != "Skip to the content" {
			t.Errorf("%s: %d stops, %+v", where, len(w.Stops), w.Stops)
		}
		got := w.Fields
		if w.Page == "calendar" {
			for len(got) > 6 && got[3] == "submit" {
				got = slices.Delete(got, 3, 4)
			}
		}
		if want, known := fields[w.Page]; !known {
			continue // no form of it is this test's
		} else if diff := cmp.Diff(want, slices.Clip(got), equalWhenEmpty); diff != "" {
			t.Errorf("%s: stops in the form:\n%s", where, diff)
		}
	}
	times := 1 // in one kind of window, which is the other one for the next page
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		times = 2
	}
	if len(walked) != browsedPages || len(seen.Walks) != times*browsedPages {
		t.Errorf("%d pages were walked through %d times", len(walked), len(seen.Walks))
	}
}

var equalWhenEmpty = cmp.FilterValues(func(a, b []string) bool { return len(a) == 0 && len(b) == 0 }, cmp.Comparer(func(_, _ []string) bool { return true }))

func checkOrder(t *testing.T, _ *served, seen browserSeen) {
	for _, o := range seen.Tasks {
		noFaults(t, o.Window+", "+o.Page, o.faults())
		steps, book, forms := 1, 0, 4 // to write it down or its reading, two to move it, and its limit
		switch o.Page {
		case taskLicensed:
			steps, book = 0, 1
		case taskByTest:
			forms = 3 // that move it and change its limit; the values are written down on a page of their own
		}
		if len(o.Steps) != steps || len(o.Book) != book || len(o.Forms) != forms || len(o.Record) != 1 {
			t.Errorf("%s: steps %v, to book %v, forms %v, record %v", o.Page, o.Steps, o.Book, o.Forms, o.Record)
		}
	}
	if len(seen.Tasks) != 6 {
		t.Errorf("%d tasks were looked at", len(seen.Tasks))
	}
}

// By keyboard alone a task is written down, a mistake put right, the record found.
func checkJobs(t *testing.T, _ *served, seen browserSeen) {
	if len(seen.Jobs) != 2 {
		t.Errorf("%d jobs were done", len(seen.Jobs))
	}
	for _, j := range seen.Jobs {
		kind, _, _ := strings.Cut(j.Window, ":")
		if j.Mistake != 422 || j.Kept != j.Filled || j.Filled.Note != "by "+kind || j.Filled.Finding == "" || j.Filled.Date <= j.Today {
			t.Errorf("%s: refused with %d, filled in %+v, kept %+v", j.Window, j.Mistake, j.Filled, j.Kept)
		}
		if p := j.Problem; p.Invalid != "true" || !p.SameField || !strings.Contains(p.Text, "not after today, "+j.Today) || !strings.Contains(p.Summary, "Nothing was written yet") {
			t.Errorf("%s: the message is %+v", j.Window, p)
		}
		if j.Jumped != "date" || j.Status != 200 {
			t.Errorf("%s: the message leads to %q, the form to status %d", j.Window, j.Jumped, j.Status)
		}
		says := fmt.Sprintf("%s, found %s (by %s)", titles[j.Task], j.Filled.Finding, kind)
		_, record, _ := strings.Cut(j.URL, "/?written=")
		if want := fmt.Sprintf("Written down as record %s: %s, on ", record, says); record == "" || !strings.HasPrefix(j.Notice, want) {
			t.Errorf("%s: at %s it says %q, not %q", j.Window, j.URL, j.Notice, want)
		}
		if len(j.History) != 1 || !strings.Contains(j.History[0], says) || !strings.Contains(j.History[0], "by page") {
			t.Errorf("%s: the history says %q", j.Window, j.History)
		}
	}
}

// Sent again, from a page gone back to or from another tab, a form leads to the
// record that it made the first time.
func checkRepeats(t *testing.T, _ *served, seen browserSeen) {
	if len(seen.Repeats) != 6 {
		t.Errorf("%d forms were sent again", len(seen.Repeats))
	}
	for _, r := range seen.Repeats {
		where := r.Window + ", " + r.How
		if !strings.Contains(r.First, "/?written=") || r.Second != r.First || r.Again != "" && r.Again != r.First {
			t.Errorf("%s: the form led to %s, then to %s %s", where, r.First, r.Again, r.Second)
		}
		if r.Kept != r.Note || r.How != "twice" && !strings.HasSuffix(r.Back, "/tasks/"+r.Task) {
			t.Errorf("%s: it went back to %s with the note %q", where, r.Back, r.Kept)
		}
	}
}

// A page on another port and a page of another site cannot write.
func checkForeign(t *testing.T, s *served, seen browserSeen) {
	if len(seen.Foreign) != 2 {
		t.Errorf("%d foreign forms were sent", len(seen.Foreign))
	}
	for _, f := range seen.Foreign {
		if f.Status != 403 || f.To != s.pages+"tasks/"+taskOnPhone+"/done" || !strings.Contains(f.Says, "nothing was written") {
			t.Errorf("from %s to %s: status %d, %q", f.From, f.To, f.Status, f.Says)
		}
	}
}

// What a camera reads off the screen is what the page says in letters.
func checkCodes(t *testing.T, s *served, seen browserSeen) {
	passwords := 0
	read := map[string]int{}
	for _, c := range seen.Codes {
		read[c.Window]++
		if strings.Contains(c.Of, "password") {
			passwords++
			if c.Read != c.Shown || len(c.Read) < 20 {
				t.Errorf("%s, %s: read as %q, shown as %q", c.Window, c.Of, c.Read, c.Shown)
			}
			continue
		}
		webcal := "webcal" + strings.TrimPrefix(c.Shown, "http")
		if c.Read != webcal || c.Link != webcal || !strings.HasPrefix(c.Shown, s.pages+"calendar/") {
			t.Errorf("%s, %s, %s: read as %q, linked as %q, shown as %q", c.Window, c.Of, c.Scheme, c.Read, c.Link, c.Shown)
		}
	}
	if want := map[string]int{"phone: codes": 7, "desktop: codes": 7}; !cmp.Equal(read, want) || passwords != 2 {
		t.Errorf("codes read: %v, of passwords: %d", read, passwords)
	}
}

// The rules are those of WCAG 2.0 to 2.2, levels A and AA, and the best practices
// of axe-core; violations of minor and moderate impact are told, not refused.
func checkAxe(t *testing.T, _ *served, seen browserSeen) {
	whole := map[string]bool{} // pages that all rules looked at
	for _, a := range seen.Axe {
		t.Logf("axe-core %s, %s, %s: %d rules, of which %d applied and passed (%s); other violations %+v; undecided %q",
			a.Version, a.Window, a.Page, a.Rules, len(a.Applied), strings.Join(a.Applied, " "), a.Violations, a.Undecided)
		noFaults(t, a.Window+", "+a.Page, a.faults())
		rules := []string{"color-contrast", "target-size"}
		if a.Whole {
			whole[a.Page] = true
			rules = append(rules, "document-title", "html-has-lang", "link-name")
		}
		for _, rule := range rules {
			if !slices.Contains(a.Applied, rule) {
				t.Errorf("%s, %s: the rule %s did not run", a.Window, a.Page, rule)
			}
		}
		if a.Whole && (a.Page == "task" || a.Page == "water") && (!slices.Contains(a.Applied, "label") || !slices.Contains(a.Applied, "select-name") || !slices.Contains(a.Applied, "button-name")) {
			t.Errorf("%s, %s: the form was not looked at: %v", a.Window, a.Page, a.Applied)
		}
	}
	again := (browsedPages + 6) / 7
	if os.Getenv("LIMEKEEP_SOAK") != "" {
		again = browsedPages
	}
	if len(seen.Axe) != browsedPages+again || len(whole) != browsedPages {
		t.Errorf("%d pages were looked at, %d by all rules", len(seen.Axe), len(whole))
	}
}

// A page with every fault, to show that each of them can be seen.
func checkBroken(t *testing.T, _ *served, seen browserSeen) {
	b := seen.Broken
	faults := slices.Concat(b.Look.faults(), b.Walk.faults(), b.Task.faults(), b.Window.faults(), b.Axe[0].faults())
	for _, want := range []string{
		"sideways: as it comes it is 900 pixels wide in a window of 360", "sideways: in 320 pixels", "nameless: textbox", "nameless: button", `unlabelled: <input name="bare">`,
		"contrast: text in light: 4.48 to 1", "contrast: link in dark: ", "small: ", "no outline: No outline", "out of order: bare", `never reached: <a href="/c"`,
		"1 cautions and 0 things to make safe", "steps before the cautions in the document", "form before the cautions on the screen",
		"console: Loading the image", "request of another host: http://localhost:", "failed request: http://127.0.0.1:", "refused: 404 /missing.css",
		"axe: label, critical", "axe: color-contrast, serious",
	} {
		if !slices.ContainsFunc(faults, func(f string) bool { return strings.HasPrefix(f, want) }) {
			t.Errorf("not seen: %s", want)
		}
	}
	if t.Failed() {
		t.Logf("seen:\n%s", strings.Join(faults, "\n"))
	}
}

// What is written in the end is what was sent by the pages, each once.
func checkRecords(t *testing.T, s *served, seen browserSeen) {
	var want []string
	for _, j := range seen.Jobs {
		want = append(want, fmt.Sprintf("%s, found %s (%s), by page", j.Task, j.Filled.Finding, j.Filled.Note))
	}
	for _, r := range seen.Repeats {
		want = append(want, fmt.Sprintf("%s (%s), by page", r.Task, r.Note))
	}
	var lines []struct{ Kind, Says, Source string }
	if err := json.Unmarshal([]byte(s.run("history", "--json")), &lines); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, l := range lines {
		if l.Kind == "service" {
			got = append(got, l.Says+", by "+l.Source)
		}
	}
	slices.Sort(want)
	slices.Sort(got)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("services:\n%s", diff)
	}
}
