package web

import (
	"sync"
	"time"
)

// lastModified remembers since when each calendar file is what it is, for clients
// that ask by date (RFC 9110, 13.1.3). What a file holds can change in ways that no
// date in it tells, such as by an entry that goes, so that it is the file itself
// that is compared. After a start every file counts as new.
type lastModified struct {
	mu    sync.Mutex
	known map[fileKey]fileVersion
}

// fileVersion is a file as it was given out last.
type fileVersion struct {
	tag   string
	since time.Time // whole seconds, as a header has it
}

// of returns since when a file has a tag. A change within the second of the last
// one counts for the next, so that the two are told apart.
func (l *lastModified) of(key fileKey, tag string, now time.Time) time.Time {
	l.mu.Lock()
	defer l.mu.Unlock()
	was, ok := l.known[key]
	if ok && was.tag == tag {
		return was.since
	}
	since := now.UTC().Truncate(time.Second)
	if ok && !since.After(was.since) {
		since = was.since.Add(time.Second)
	}
	if l.known == nil || len(l.known) >= mostFiles {
		l.known = map[fileKey]fileVersion{}
	}
	l.known[key] = fileVersion{tag, since}
	return since
}
