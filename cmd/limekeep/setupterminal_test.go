//go:build unix

package main

import (
	"os"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
)

// screen is a terminal that a program runs in, as a person at it would use it.
type screen struct {
	t    *testing.T
	keys *os.File
	mu   sync.Mutex
	seen strings.Builder
	done chan struct{} // closed when the program has let go of the terminal
}

var controls = regexp.MustCompile(`\x1b(\[[0-9;?=>]*[ -/]*[@-~]|\][^\x07\x1b]*(\x07|\x1b\\)|[()].|[=>78M])`)

// atTerminal starts a command of the program in a terminal of 100 columns and 40 rows.
func (s *served) atTerminal(args ...string) (*screen, func() error) {
	s.t.Helper()
	cmd := s.command(args...)
	cmd.Env = append(cmd.Env, "TERM=xterm-256color", "TZ=Europe/Lisbon")
	terminal, err := pty.StartWithSize(cmd, &pty.Winsize{Rows: 40, Cols: 100})
	if err != nil {
		s.t.Fatal(err)
	}
	x := &screen{t: s.t, keys: terminal, done: make(chan struct{})}
	s.t.Cleanup(func() {
		_ = cmd.Process.Kill()
		terminal.Close()
	})
	go func() {
		defer close(x.done)
		buffer := make([]byte, 4096)
		for {
			n, err := terminal.Read(buffer)
			x.mu.Lock()
			x.seen.Write(buffer[:n])
			x.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	return x, func() error {
		<-x.done
		return cmd.Wait()
	}
}

// text is all that was written so far, without what moves and colours it.
func (x *screen) text() string {
	x.mu.Lock()
	defer x.mu.Unlock()
	return strings.Join(strings.Fields(controls.ReplaceAllString(x.seen.String(), " ")), " ")
}

// shows waits until some text was written after a place in what was seen, and returns
// the place behind it.
func (x *screen) shows(part string, after int) int {
	x.t.Helper()
	for {
		text := x.text()
		if i := strings.Index(text[min(after, len(text)):], part); i >= 0 {
			return after + i + len(part)
		}
		select {
		case <-x.done:
			x.t.Fatalf("the terminal never showed %q; after %d:\n%s", part, after, text)
		case <-x.t.Context().Done():
			x.t.Fatalf("the terminal did not show %q:\n%s", part, text)
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// press presses keys one after the other, and returns how many.
func (x *screen) press(keys string) int {
	x.t.Helper()
	all := keysIn(keys)
	for _, key := range all {
		if _, err := x.keys.WriteString(key); err != nil {
			x.t.Fatal(err)
		}
	}
	return len(all)
}

// From nothing to a subscribed calendar and a first service, by questions alone, at a
// terminal: with arrows where there is a choice, "I don't know" at the end of each list,
// and nothing typed where nobody knows. It takes fewer keys than five minutes hold, at a
// key in two seconds.
func TestTerminalOnTheFirstDay(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	s := &served{t: t, folder: t.TempDir()}
	x, wait := s.atTerminal("setup", "--keep", s.folder+"/place.yaml", "--today", "2026-11-27")
	const down, enter = "\x1b[B", "\r"
	pressed, at := 0, 0
	for _, q := range []struct{ ask, keys string }{
		{"What kind of machine is it?", down + enter}, // two boilers
		{"Where does its water come from?", down + enter},
		{"How many groups has it?", enter},
		{"Where does it stand?", enter},
		{"How did it come to you?", down + enter}, // used
		{"When did it come to you?", "2025" + enter},
		{"When was it made?", enter}, // nobody knows
		{"Up to when was it well looked after", enter},
		{"How many cups does it make a day?", "many" + enter}, // refused, so:
		{"give a number", "\x7f\x7f\x7f\x7f" + "12" + enter},
		{"How many of them with steamed milk?", "4" + enter},
		{"How many litres of hot water", enter},                  // nobody knows
		{"What do you know of your water?", down + down + enter}, // how the kettle looks
		{"How does a kettle look", down + enter},
		{"What does the water go through", down + down + down + down + down + enter}, // I don't know
		{"What grinds for it?", enter},
		{"When would you rather do such work?", enter},
		{"What is the place called?", "The office" + enter},
		{"In which time zone is it?", enter},
	} {
		at = x.shows(q.ask, at)
		pressed += x.press(q.keys)
	}
	if err := wait(); err != nil {
		t.Fatalf("%v\n%s", err, x.text())
	}
	if pressed > 150 {
		t.Errorf("it took %d keys", pressed)
	}
	text := x.text()
	for _, part := range []string{"added: home, water, machine, grinder", "What was assumed:", "When was it made? Nobody said", "The next three things to do:", "the first sitting", "I don't know: how often to descale is known to within a factor of"} {
		if !strings.Contains(text, part) {
			t.Errorf("the terminal does not show %q:\n%s", part, text)
		}
	}
	file, err := os.ReadFile(s.folder + "/place.yaml")
	if err != nil || !strings.Contains(string(file), "layout: two boilers") || !strings.Contains(string(file), "zone: Europe/Lisbon") || !strings.Contains(string(file), "name: The office") {
		t.Errorf("%v\n%s", err, file)
	}
	if address := s.run("calendar", "address"); !strings.Contains(address, ".ics") {
		t.Errorf("the calendar: %s", address)
	}
	s.run("calendar", "--out", s.folder+"/care.ics", "--today", "2026-11-27")
	if calendar, err := os.ReadFile(s.folder + "/care.ics"); err != nil || !strings.Contains(string(calendar), "BEGIN:VEVENT") {
		t.Errorf("%v\n%.300s", err, calendar)
	}
	if answer := s.run("done", "backflush-detergent", "--today", "2026-11-28"); !strings.Contains(answer, "is next due about") {
		t.Errorf("the first service is answered with %s", answer)
	}
}

// Whoever breaks the questions off has written nothing.
func TestTerminalBrokenOff(t *testing.T) {
	s := &served{t: t, folder: t.TempDir()}
	x, wait := s.atTerminal("setup", "--today", "2026-11-27")
	at := x.shows("What kind of machine is it?", 0)
	x.press("\r")
	x.shows("Where does its water come from?", at)
	x.press("\x03")
	if err := wait(); err == nil || !strings.Contains(x.text(), "the questions were broken off, so nothing was written down") {
		t.Errorf("%v\n%s", err, x.text())
	}
	if out, err := s.command("due").CombinedOutput(); err == nil || !strings.Contains(string(out), "no place is set up yet") {
		t.Errorf("%v: %s", err, out)
	}
}

// keysIn takes what is pressed apart: an arrow is one key.
func keysIn(keys string) []string { return regexp.MustCompile(`\x1b\[B|(?s).`).FindAllString(keys, -1) }
