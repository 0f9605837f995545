package main

import (
	"io"
	"os"
	"sync"

	"golang.org/x/term"
)

// keyboard is what is typed at a terminal, read by one reader for all that is asked one
// after the other: what is drawn for one question would take keys that are meant for
// the next.
type keyboard struct {
	terminal *os.File
	typed    chan []byte
	rest     []byte // typed, and not asked for yet
}

// openKeys begins to read keys one by one, without showing them; leave gives the
// terminal back as it was.
func openKeys(terminal *os.File) (k *keyboard, leave func(), err error) {
	fd := int(terminal.Fd())
	was, err := term.MakeRaw(fd)
	if err != nil {
		return nil, nil, err
	}
	k = &keyboard{terminal: terminal, typed: make(chan []byte)}
	go func() {
		defer close(k.typed)
		for {
			buffer := make([]byte, 256)
			n, err := terminal.Read(buffer)
			if n > 0 {
				k.typed <- buffer[:n]
			}
			if err != nil {
				return
			}
		}
	}()
	return k, sync.OnceFunc(func() { _ = term.Restore(fd, was) }), nil
}

// turn is a reader of keys until it ends. To what draws it is the terminal, so that
// lines end as they must there.
type turn struct {
	keys  *keyboard
	ended chan struct{}
}

func (k *keyboard) turn() *turn { return &turn{k, make(chan struct{})} }

// Read waits for keys; at the end of the turn it returns io.EOF and takes none.
func (t *turn) Read(p []byte) (int, error) {
	select {
	case <-t.ended:
		return 0, io.EOF
	default:
	}
	if len(t.keys.rest) == 0 {
		select {
		case <-t.ended:
			return 0, io.EOF
		case typed, ok := <-t.keys.typed:
			if !ok {
				return 0, io.EOF
			}
			t.keys.rest = typed
		}
	}
	n := copy(p, t.keys.rest)
	t.keys.rest = t.keys.rest[n:]
	return n, nil
}

// Fd is that of the terminal.
func (t *turn) Fd() uintptr { return t.keys.terminal.Fd() }

// Write writes to the terminal.
func (t *turn) Write(p []byte) (int, error) { return t.keys.terminal.Write(p) }

// Close does nothing: the terminal stays open for the next turn.
func (t *turn) Close() error { return nil }

// end gives the keys to come to the next turn.
func (t *turn) end() { close(t.ended) }
