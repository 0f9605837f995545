package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"golang.org/x/term"

	"limekeep/schedule/interview"
	"limekeep/schedule/record"
)

// drawnAsker asks on a terminal: of a choice by a list to go through with the arrows, of
// anything else by a line to type.
type drawnAsker struct {
	ctx  context.Context //nolint:containedctx // questions are asked one after the other within one command
	keys *keyboard
	out  io.Writer

	columns func() int // how wide the terminal is
	drawn   int        // how many lines of the question stand there
}

func newDrawnAsker(ctx context.Context, keys *keyboard, terminal *os.File) *drawnAsker {
	return &drawnAsker{ctx: ctx, keys: keys, out: terminal, columns: func() int {
		if width, _, err := term.GetSize(int(terminal.Fd())); err == nil && width > 0 {
			return width
		}
		return usualColumns
	}}
}

// Widths in columns: of a terminal that does not say, and that no text is wider than to
// be read with ease.
const (
	usualColumns = 80
	mostColumns  = 96
	leastColumns = 20
)

// How what is drawn looks (ECMA-48, select graphic rendition).
const (
	bold    = "\x1b[1m"
	faint   = "\x1b[2m"
	upright = "\x1b[0m"
)

func (d *drawnAsker) ask(q interview.Question, costs string, today record.Date) (string, error) {
	about := strings.TrimSpace(q.Help + " I don't know: " + costs)
	answer, shown, err := "", "", error(nil)
	if q.Kind == interview.Choice {
		answer, shown, err = d.choose(q, about)
	} else {
		answer, shown, err = d.typeIn(q, about+" Leave it empty if you do not know.", today)
	}
	if errors.Is(err, errBrokenOff) || errors.Is(err, io.EOF) {
		d.draw(nil)
		return "", errBrokenOff
	}
	if err != nil {
		return "", err
	}
	d.draw([]string{q.Ask + " " + bold + shown + upright}) // what was answered stays
	d.drawn = 0
	return q.Read(answer, today)
}

// choose has an option chosen, by the arrows or by its number.
func (d *drawnAsker) choose(q interview.Question, about string) (answer, shown string, err error) {
	options := append(q.Options[:len(q.Options):len(q.Options)], interview.Option{Value: interview.DontKnow, Label: "I don't know"})
	at := 0
	for {
		lines := d.question(q, about)
		for i, o := range options {
			mark, look := "  ", ""
			if i == at {
				mark, look = "> ", bold
			}
			lines = append(lines, look+d.cut(mark+o.Label)+upright)
		}
		d.draw(append(lines, faint+d.cut("arrows and Enter, or its number")+upright))
		pressed, err := d.keys.next(d.ctx)
		if err != nil {
			return "", "", err
		}
		switch {
		case pressed == keyUp || pressed == 'k':
			at = (at + len(options) - 1) % len(options)
		case pressed == keyDown || pressed == 'j':
			at = (at + 1) % len(options)
		case pressed >= '1' && int(pressed-'1') < len(options):
			at = int(pressed - '1')
		case pressed == '?':
			at = len(options) - 1
		case pressed == keyEnter:
			return options[at].Value, options[at].Label, nil
		case pressed == keyBreak:
			return "", "", errBrokenOff
		}
	}
}

// typeIn has a line typed that can be taken.
func (d *drawnAsker) typeIn(q interview.Question, about string, today record.Date) (answer, shown string, err error) {
	typed, wrong := "", ""
	for {
		lines := append(d.question(q, about), d.typed(typed, q.Usual))
		if wrong != "" {
			lines = append(lines, d.wrap(wrong)...)
		}
		d.draw(lines)
		pressed, err := d.keys.next(d.ctx)
		if err != nil {
			return "", "", err
		}
		switch pressed {
		case keyEnter:
			var field *record.FieldError
			_, err := q.Read(typed, today)
			switch {
			case errors.As(err, &field):
				wrong = "give " + field.Want
			case err != nil:
				wrong = err.Error()
			case typed == "":
				return typed, "I don't know", nil
			default:
				return typed, typed, nil
			}
		case keyBack:
			_, last := utf8.DecodeLastRuneInString(typed)
			typed = typed[:len(typed)-last]
		case keyClear:
			typed = ""
		case keyBreak:
			return "", "", errBrokenOff
		case keyUp, keyDown:
		default:
			typed += string(rune(pressed))
		}
	}
}

// typed shows the end of what was typed, or an answer as it is usual while there is
// nothing.
func (d *drawnAsker) typed(typed, usual string) string {
	if typed == "" && usual != "" {
		return faint + d.cut("> such as "+usual) + upright
	}
	room := d.width() - len("> ")
	for columns(typed) > room {
		_, first := utf8.DecodeRuneInString(typed)
		typed = typed[first:]
	}
	return "> " + typed
}

// question is what is asked, and the lines about it.
func (d *drawnAsker) question(q interview.Question, about string) []string {
	lines := []string{""}
	for _, line := range d.wrap(q.Ask) {
		lines = append(lines, bold+line+upright)
	}
	return append(lines, d.wrap(about)...)
}

// draw puts lines in the place of those that stand there. Each must fit the width, so
// that it is known how many there are.
func (d *drawnAsker) draw(lines []string) {
	var b strings.Builder
	if d.drawn > 0 {
		fmt.Fprintf(&b, "\x1b[%dA", d.drawn)
	}
	b.WriteString("\r\x1b[J") // from here on all is cleared
	for _, line := range lines {
		b.WriteString(line + "\r\n")
	}
	_, _ = io.WriteString(d.out, b.String()) // a terminal that is gone ends what is typed too
	d.drawn = len(lines)
}

func (d *drawnAsker) width() int { return max(leastColumns, min(mostColumns, d.columns()-1)) }

// wrap breaks a text into lines.
func (d *drawnAsker) wrap(text string) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && columns(line)+1+columns(word) > d.width() {
			lines = append(lines, d.cut(line))
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, d.cut(line))
}

// cut leaves of a line what fits.
func (d *drawnAsker) cut(line string) string {
	if columns(line) <= d.width() {
		return line
	}
	for columns(line) > d.width()-1 {
		_, last := utf8.DecodeLastRuneInString(line)
		line = line[:len(line)-last]
	}
	return line + "…"
}

// columns is how many columns a text takes at the most: what comes behind the scripts of
// one column may take two.
func columns(text string) int {
	n := 0
	for _, r := range text {
		n++
		if r >= 0x1100 && (r < 0x2000 || r > 0x206f) { // dashes and quotation marks take one
			n++
		}
	}
	return n
}
