package dav

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/emersion/go-ical"
)

// memory is a Collection that keeps what it is given, for tests.
type memory struct {
	mu       sync.Mutex
	snapshot *Snapshot
	clock    time.Time
	app      string // who changed something last

	// refuse says no to a change; nil lets everything through.
	refuse func(name string, sent *ical.Calendar) error
	// tidy stores something else than what was sent.
	tidy func(*ical.Calendar)
	// broken is what every call fails with.
	broken error
}

// viennaZone is the zone of the place in tests.
const viennaZone = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//test//EN\r\nBEGIN:VTIMEZONE\r\nTZID:Europe/Vienna\r\nBEGIN:STANDARD\r\nDTSTART:19701025T030000\r\nTZOFFSETFROM:+0200\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\nEND:VCALENDAR\r\n"

func newMemory() *memory {
	return &memory{
		clock: time.Date(2026, time.March, 2, 9, 0, 0, 0, time.UTC),
		snapshot: &Snapshot{
			Name: "Machine care, Küche & oben", Description: "What the machine needs <next>", Zone: []byte(viennaZone),
			MayAdd: true, Epoch: "e:1 ä", Number: 1, Oldest: 0,
		},
	}
}

func (m *memory) Snapshot(context.Context) (*Snapshot, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.snapshot, m.broken
}

func (m *memory) Put(_ context.Context, app, name string, sent *ical.Calendar, match func(*Object) error) (Taken, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.broken != nil {
		return Taken{}, m.broken
	}
	old := m.find(name)
	if err := match(old); err != nil {
		return Taken{}, err
	}
	if old == nil && !m.snapshot.MayAdd {
		return Taken{}, &Refusal{NeedPrivileges, "Nothing is added here."}
	}
	for _, o := range m.snapshot.Objects {
		if o.Name != name && uidOf(o.Calendar) == uidOf(sent) {
			return Taken{}, &Refusal{NoUIDConflict, "The UID is taken."}
		}
	}
	if m.refuse != nil {
		if err := m.refuse(name, sent); err != nil {
			return Taken{}, err
		}
	}
	if m.tidy != nil {
		m.tidy(sent)
	}
	var b bytes.Buffer
	if err := ical.NewEncoder(&b).Encode(sent); err != nil {
		return Taken{}, err
	}
	next := m.next()
	o := objectOf(name, b.Bytes(), sent, m.clock, next.Number)
	next.Objects = slices.DeleteFunc(slices.Clone(next.Objects), func(o Object) bool { return o.Name == name })
	next.Objects = append(next.Objects, o)
	slices.SortFunc(next.Objects, func(a, b Object) int { return cmp.Compare(a.Name, b.Name) })
	next.Gone = slices.DeleteFunc(slices.Clone(next.Gone), func(g Gone) bool { return g.Name == name })
	m.snapshot, m.app = next, app
	return Taken{Created: old == nil, Object: o, AsSent: m.tidy == nil}, nil
}

func (m *memory) Delete(_ context.Context, app, name string, match func(*Object) error) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.broken != nil {
		return m.broken
	}
	if err := match(m.find(name)); err != nil {
		return err
	}
	if m.refuse != nil {
		if err := m.refuse(name, nil); err != nil {
			return err
		}
	}
	next := m.next()
	next.Objects = slices.DeleteFunc(slices.Clone(next.Objects), func(o Object) bool { return o.Name == name })
	next.Gone = append(slices.Clone(next.Gone), Gone{name, next.Number})
	slices.SortFunc(next.Gone, func(a, b Gone) int { return cmp.Compare(a.Name, b.Name) })
	m.snapshot, m.app = next, app
	return nil
}

func (m *memory) find(name string) *Object {
	for i := range m.snapshot.Objects {
		if m.snapshot.Objects[i].Name == name {
			return &m.snapshot.Objects[i]
		}
	}
	return nil
}

func (m *memory) next() *Snapshot {
	next := *m.snapshot
	next.Number++
	m.clock = m.clock.Add(time.Minute)
	return &next
}

// keep stores a calendar as it is, without the checks of a request.
func (m *memory) keep(t tester, name, calendar string) {
	t.Helper()
	cal, err := ical.NewDecoder(strings.NewReader(calendar)).Decode()
	if err != nil {
		t.Fatal(err)
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	next := m.next()
	next.Objects = append(slices.Clone(next.Objects), objectOf(name, []byte(calendar), cal, m.clock, next.Number))
	slices.SortFunc(next.Objects, func(a, b Object) int { return cmp.Compare(a.Name, b.Name) })
	m.snapshot = next
}

func objectOf(name string, data []byte, cal *ical.Calendar, modified time.Time, number int64) Object {
	sum := sha256.Sum256(data)
	return Object{Name: name, ETag: hex.EncodeToString(sum[:8]), Data: data, Calendar: cal, Modified: modified, Number: number}
}

var errBroken = errors.New("the disk is gone")

// vcalendar puts lines into a calendar.
func vcalendar(lines ...string) string {
	all := append([]string{"BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Example Corp.//CalDAV Client//EN"}, lines...)
	return strings.Join(append(all, "END:VCALENDAR", ""), "\r\n")
}

// vtodo puts lines into a calendar with one to-do.
func vtodo(uid string, lines ...string) string {
	all := append([]string{"BEGIN:VTODO", "UID:" + uid, "DTSTAMP:20260301T120000Z"}, lines...)
	return vcalendar(append(all, "END:VTODO")...)
}
