package main

import (
	"context"
	"io"
	"os"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/term"
)

// key is what was pressed: a character, or one of those below.
type key rune

// Keys that are no characters. What is not known here is passed over.
const (
	keyEnter key = -iota - 1
	keyUp
	keyDown
	keyBack  // takes the last character away
	keyClear // takes all of them away
	keyBreak // ends it all
)

// controlKeys are keys by the single character that a terminal sends for them.
var controlKeys = map[rune]key{'\r': keyEnter, '\n': keyEnter, '\x7f': keyBack, '\b': keyBack, '\x15': keyClear, '\x03': keyBreak, '\x04': keyBreak}

// movingKeys are keys by the last character of what a terminal sends for them
// (ECMA-48, cursor up and down).
var movingKeys = map[byte]key{'A': keyUp, 'B': keyDown}

// keyboard is what is typed at a terminal, read by one reader for all that is asked one
// after the other, so that no key is lost between two questions.
type keyboard struct {
	typed chan []byte // closed where nothing more comes
	rest  []key       // typed, and not asked for yet
	torn  []byte      // begin of a character whose end is still to come
}

// openKeys begins to read keys one by one, without showing them; leave gives the
// terminal back as it was.
func openKeys(terminal *os.File) (k *keyboard, leave func(), err error) {
	fd := int(terminal.Fd())
	was, err := term.MakeRaw(fd)
	if err != nil {
		return nil, nil, err
	}
	return newKeyboard(terminal), sync.OnceFunc(func() { _ = term.Restore(fd, was) }), nil
}

func newKeyboard(from io.Reader) *keyboard {
	k := &keyboard{typed: make(chan []byte)}
	go func() {
		defer close(k.typed)
		for {
			buffer := make([]byte, 256)
			n, err := from.Read(buffer)
			if n > 0 {
				k.typed <- buffer[:n]
			}
			if err != nil {
				return
			}
		}
	}()
	return k
}

// next waits for a key, or until the context ends. Where nothing more can be typed it
// returns io.EOF.
func (k *keyboard) next(ctx context.Context) (key, error) {
	for len(k.rest) == 0 {
		select {
		case <-ctx.Done():
			return 0, context.Cause(ctx)
		case typed, ok := <-k.typed:
			if !ok {
				return 0, io.EOF
			}
			k.rest, k.torn = keysOf(append(k.torn, typed...))
		}
	}
	pressed := k.rest[0]
	k.rest = k.rest[1:]
	return pressed, nil
}

// keysOf takes what a terminal sent apart; torn is the begin of a character at its end.
func keysOf(sent []byte) (keys []key, torn []byte) {
	for len(sent) > 0 {
		if sent[0] == '\x1b' {
			moving, n := moved(sent)
			if moving != 0 {
				keys = append(keys, moving)
			}
			sent = sent[n:]
			continue
		}
		if !utf8.FullRune(sent) {
			return keys, sent
		}
		r, n := utf8.DecodeRune(sent)
		sent = sent[n:]
		if control, ok := controlKeys[r]; ok {
			keys = append(keys, control)
		} else if unicode.IsPrint(r) && r != utf8.RuneError {
			keys = append(keys, key(r))
		}
	}
	return keys, nil
}

// moved reads a sequence that begins with an escape: the key, 0 for one of no meaning
// here, and how many bytes it has.
func moved(sent []byte) (key, int) {
	if len(sent) < 2 || sent[1] != '[' && sent[1] != 'O' {
		return 0, 1 // the key escape itself
	}
	for n := 2; n < len(sent); n++ {
		if sent[n] >= '@' && sent[n] <= '~' {
			return movingKeys[sent[n]], n + 1
		}
	}
	return 0, len(sent)
}
