package dav

import (
	"bytes"
	"context"
	"fmt"
	"sync"
	"time"
	"unicode/utf8"
)

// rendered is a snapshot with everything written out that answers are made of. It
// is made once per snapshot and shared by all requests.
type rendered struct {
	*Snapshot
	collection resource
	principal  resource
	home       resource
	root       resource
	objects    []renderedObject
	byName     map[string]*renderedObject

	zones *zones
	once  sync.Once
	zone  *time.Location // of the place
}

// renderedObject is an object with its properties and its data as XML.
type renderedObject struct {
	*Object
	resource
	data string // the CALDAV:calendar-data element

	once  sync.Once
	todos []*todo
}

// rendered returns the collection as it stands.
func (h *handler) rendered(ctx context.Context) (*rendered, error) {
	snapshot, err := h.Collection.Snapshot(ctx)
	if err != nil {
		return nil, fmt.Errorf("reading the collection of %s: %w", h.User, err)
	}
	if kept := h.kept.Load(); kept != nil && kept.Snapshot == snapshot {
		return kept, nil
	}
	s := render(h.paths, snapshot, h.zones)
	h.kept.Store(s) // two requests may both make it; they make the same
	return s, nil
}

func render(p paths, snapshot *Snapshot, z *zones) *rendered {
	s := &rendered{
		Snapshot:   snapshot,
		collection: collectionResource(p, snapshot),
		principal:  principalResource(p, snapshot.Name),
		home:       homeResource(p, snapshot.Name),
		root:       rootResource(p),
		objects:    make([]renderedObject, len(snapshot.Objects)),
		byName:     make(map[string]*renderedObject, len(snapshot.Objects)),
		zones:      z,
	}
	for i := range snapshot.Objects {
		o := &snapshot.Objects[i]
		kept := &s.objects[i]
		kept.Object, kept.resource, kept.data = o, objectResource(p, o), dataElement(o.Data)
		s.byName[o.Name] = kept
	}
	return s
}

// find returns an object by its name, nil where there is none.
func (s *rendered) find(name string) *renderedObject { return s.byName[name] }

// placeZone returns the zone of the place, which floating times are in.
func (s *rendered) placeZone() *time.Location {
	s.once.Do(func() {
		s.zone = time.UTC
		if cal, err := readCalendar(s.Zone); err == nil {
			if z, ok := s.zones.of(cal); ok {
				s.zone = z
			}
		}
	})
	return s.zone
}

// times returns the to-dos in an object with their times read.
func (o *renderedObject) times(z *zones) []*todo {
	o.once.Do(func() { o.todos = todosOf(o.Calendar, z) })
	return o.todos
}

// dataElement writes calendar data as an element (RFC 4791, 9.6). A carriage
// return is written as a reference, or an XML reader would drop it (XML 1.0,
// 2.11); line feeds stay, so that the element is hardly larger than the data.
func dataElement(data []byte) string {
	var b bytes.Buffer
	b.Grow(len(data) + len(data)/8 + 64)
	b.WriteString("<C:calendar-data>")
	from := 0
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		instead := ""
		switch {
		case r == '&':
			instead = "&amp;"
		case r == '<':
			instead = "&lt;"
		case r == '>':
			instead = "&gt;"
		case r == '\r':
			instead = "&#13;"
		case r == utf8.RuneError && size == 1, r < ' ' && r != '\n' && r != '\t', r == 0xFFFE, r == 0xFFFF:
			instead = "\uFFFD" // what XML 1.0, 2.2 has no way to write
		}
		if instead != "" {
			b.Write(data[from:i])
			b.WriteString(instead)
			from = i + size
		}
		i += size
	}
	b.Write(data[from:])
	b.WriteString("</C:calendar-data>")
	return b.String()
}
