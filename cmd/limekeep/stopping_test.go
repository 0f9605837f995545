package main

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/intake/shotlog"
)

// counting counts what is read of a text, and does something once so much was.
type counting struct {
	*strings.Reader
	read, at int
	then     func()
}

func (c *counting) Read(p []byte) (int, error) {
	n, err := c.Reader.Read(p)
	if c.read += n; c.then != nil && c.read >= c.at {
		c.then()
	}
	return n, err
}

// A log of any length is read no further once it is to stop.
func TestLongLogStops(t *testing.T) {
	text := "date,time,dose,yield,seconds\n" + strings.Repeat("2026-03-13,07:40,18.0,36.0,28\n", 100_000)
	enough := errors.New("enough")
	for _, at := range []int{1, 400_000, 2_000_000} {
		ctx, stop := context.WithCancelCause(t.Context())
		in := &counting{Reader: strings.NewReader(text), at: at}
		stopped := 0
		in.then = func() { stopped, in.then = in.read, nil; stop(enough) }
		log, err := shotlog.Open(stopping{ctx, in}, shotlog.Options{Zone: time.UTC})
		if err == nil {
			for _, wrong := range log.Rows(func(int64) {}) {
				if err = wrong; err != nil {
					break
				}
			}
		}
		if !errors.Is(err, enough) {
			t.Errorf("stopped at %d, it ends with %v", at, err)
		}
		if more := in.read - stopped; more > 0 {
			t.Errorf("stopped at %d, %d bytes more were read", at, more)
		}
	}
}

// What can be read once only says so.
func TestPipeCannotGoBack(t *testing.T) {
	if _, err := (stopping{t.Context(), io.MultiReader()}).Seek(0, io.SeekStart); !errors.Is(err, errOnlyForward) {
		t.Errorf("went back: %v", err)
	}
}
