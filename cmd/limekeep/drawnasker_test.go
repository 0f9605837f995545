package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"limekeep/schedule/interview"
	"limekeep/schedule/record"
)

// What terminals send for keys (ECMA-48; xterm's cursor keys in both of their modes),
// and what is cut within a character.
func TestKeys(t *testing.T) {
	for _, c := range []struct {
		sent string
		keys []key
		torn string
	}{
		{"ab\r", []key{'a', 'b', keyEnter}, ""},
		{"\x1b[A\x1b[B\x1bOA\x1bOB", []key{keyUp, keyDown, keyUp, keyDown}, ""},
		{"\x1b", nil, ""},
		{"\x1bx", []key{'x'}, ""},
		{"\x1b[1;5C\x1b[3~y", []key{'y'}, ""},
		{"\x1b[", nil, ""},
		{"\x7f\b\x15\x03\x04\n", []key{keyBack, keyBack, keyClear, keyBreak, keyBreak, keyEnter}, ""},
		{"\x00\x01\t", nil, ""},
		{"é台", []key{'é', '台'}, ""},
		{"a\xe5\x8f", []key{'a'}, "\xe5\x8f"},
		{"\xff!", []key{'!'}, ""},
	} {
		keys, torn := keysOf([]byte(c.sent))
		if !slices.Equal(keys, c.keys) || string(torn) != c.torn {
			t.Errorf("%q is %v and %q, want %v and %q", c.sent, keys, torn, c.keys, c.torn)
		}
	}
}

// Whatever a terminal sends, no key is made up, and nothing but the begin of a character
// waits for more.
func TestAnyKeys(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sent := rapid.SliceOf(rapid.OneOf(rapid.Byte(), rapid.SampledFrom([]byte("\x1b[OAB3~\r")))).Draw(t, "sent")
		keys, torn := keysOf(sent)
		if len(keys) > len(sent) || len(torn) >= utf8.UTFMax {
			t.Errorf("%q is %d keys and %q", sent, len(keys), torn)
		}
	})
}

// testDay is the day on which questions are asked.
var testDay = record.NewDate(2026, time.November, 27)

// looks are what moves, clears and colours.
var looks = regexp.MustCompile(`\x1b\[[0-9]*[A-Za-z]`)

// drawnIn asks with keys that are pressed already, on a terminal so wide.
func drawnIn(keys string, width int) (*drawnAsker, *bytes.Buffer) {
	var out bytes.Buffer
	return &drawnAsker{ctx: context.Background(), keys: newKeyboard(strings.NewReader(keys)), out: &out, columns: func() int { return width }}, &out
}

var (
	kettle = interview.Question{ID: "kettle", Ask: "How does a kettle look?", Help: "Inside.", Kind: interview.Choice, Options: []interview.Option{{Value: "clean", Label: "Clean"}, {Value: "white", Label: "White"}}}
	named  = interview.Question{ID: "name", Ask: "What is the place called?", Kind: interview.Text, Usual: "The kitchen"}
)

// The way through a list, and what is typed and corrected.
func TestDrawnAnswers(t *testing.T) {
	for _, c := range []struct {
		q    interview.Question
		keys string
		want string
		err  error
	}{
		{kettle, "\r", "clean", nil},
		{kettle, "\x1b[B\r", "white", nil},
		{kettle, "\x1b[A\r", interview.DontKnow, nil},
		{kettle, "jk\x1b[B\x1b[B\x1b[B\r", "clean", nil},
		{kettle, "2\r", "white", nil},
		{kettle, "9\r", "clean", nil},
		{kettle, "?\r", interview.DontKnow, nil},
		{kettle, "\x03", "", errBrokenOff},
		{kettle, "", "", errBrokenOff},
		{named, "Café 台\r", "Café 台", nil},
		{named, "Caf\x7f\x7f\x7f\x7f\x7fBar\r", "Bar", nil},
		{named, "wrong\x15right\r", "right", nil},
		{named, "\x1b[A\r", interview.DontKnow, nil},
		{named, strings.Repeat("x", 201) + "\r\x15short\r", "short", nil},
		{named, "half", "", errBrokenOff},
	} {
		d, out := drawnIn(c.keys, 80)
		got, err := d.ask(c.q, "dates are wide", testDay)
		if got != c.want || !errors.Is(err, c.err) {
			t.Errorf("%q to %q is answered with %q (%v), want %q (%v)\n%s", c.keys, c.q.Ask, got, err, c.want, c.err, out)
		}
	}
}

// However narrow the terminal, no line is wider, so that what is drawn anew covers what
// was drawn before.
func TestDrawnFits(t *testing.T) {
	for _, width := range []int{21, 40, 80, 300} {
		d, out := drawnIn(strings.Repeat("台", 150)+strings.Repeat("x", 100)+"\r\x15\r", width)
		q := named
		q.Help = strings.Repeat("A sentence that is longer than a line. ", 5) + strings.Repeat("unbreakable", 20)
		if _, err := d.ask(q, "nothing", testDay); err != nil {
			t.Fatal(err)
		}
		for line := range strings.SplitSeq(looks.ReplaceAllString(out.String(), ""), "\r\n") {
			line = strings.TrimPrefix(line, "\r")
			if strings.HasPrefix(line, q.Ask) {
				continue // the answer, which stays
			}
			if n := columns(line); n > width-1 {
				t.Fatalf("on %d columns a line has %d: %q", width, n, line)
			}
		}
	}
}

// Whoever ends the program ends the question.
func TestDrawnEndsWithItsContext(t *testing.T) {
	d, _ := drawnIn("", 80)
	never, typing := io.Pipe()
	defer typing.Close()
	d.keys = newKeyboard(never)
	ctx, stop := context.WithCancel(t.Context())
	d.ctx = ctx
	stop()
	if _, err := d.ask(kettle, "nothing", testDay); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}
