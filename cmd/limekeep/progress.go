package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/term"
)

// progress shows on a terminal how far a long import has come, and is silent
// everywhere else.
type progress struct {
	out   io.Writer // nil where there is no terminal
	size  int64
	shown bool
	last  time.Time
}

func newProgress(w io.Writer, size int64) *progress {
	p := &progress{size: size, last: time.Now()}
	if f, ok := w.(*os.File); ok {
		if term.IsTerminal(int(f.Fd())) {
			p.out = w
		}
	}
	return p
}

// told hears how many bytes are read.
func (p *progress) told(bytes int64) {
	const often = 250 * time.Millisecond
	if p.out == nil || time.Since(p.last) < often {
		return
	}
	p.last, p.shown = time.Now(), true
	if p.size > 0 {
		fmt.Fprintf(p.out, "\rreading: %d %% of %.1f MB ", min(100, 100*bytes/p.size), float64(p.size)/1e6)
	} else {
		fmt.Fprintf(p.out, "\rreading: %.1f MB ", float64(bytes)/1e6)
	}
}

// end leaves the line as it was.
func (p *progress) end() {
	if p.shown {
		fmt.Fprint(p.out, "\r"+strings.Repeat(" ", 40)+"\r")
	}
}
