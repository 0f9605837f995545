package exact

import (
	"encoding"
	"reflect"
	"sync"
)

// layout is what has to be known of a type to write and read it.
type layout struct {
	of     reflect.Type
	own    bool      // it writes and reads itself
	hidden string    // a field that cannot be set from outside; empty for none
	left   []bool    // by field: whether it is left out
	fields []*layout // of a struct; nil for one that is left out
	elem   *layout   // of a list, a map or a pointer
	key    *layout   // of a map
}

var (
	appender    = reflect.TypeFor[encoding.BinaryAppender]()
	unmarshaler = reflect.TypeFor[encoding.BinaryUnmarshaler]()
)

// layouts remembers them, since looking takes longer than writing. They follow from the
// types alone.
var layouts = struct {
	sync.Mutex
	by map[reflect.Type]*layout
}{by: map[reflect.Type]*layout{}}

func layoutOf(t reflect.Type) *layout {
	layouts.Lock()
	defer layouts.Unlock()
	return look(t)
}

// look finds the layout of a type; a type that holds itself finds the one under way.
func look(t reflect.Type) *layout {
	if l, ok := layouts.by[t]; ok {
		return l
	}
	l := &layout{of: t, own: t.Implements(appender) && reflect.PointerTo(t).Implements(unmarshaler)}
	layouts.by[t] = l
	if l.own {
		return l
	}
	switch t.Kind() {
	case reflect.Array, reflect.Slice, reflect.Pointer:
		l.elem = look(t.Elem())
	case reflect.Map:
		l.key, l.elem = look(t.Key()), look(t.Elem())
	case reflect.Struct:
		l.left, l.fields = make([]bool, t.NumField()), make([]*layout, t.NumField())
		for i := range l.fields {
			f := t.Field(i)
			l.left[i] = f.Tag.Get("exact") == "-"
			if l.left[i] {
				continue
			}
			if !f.IsExported() {
				l.hidden = f.Name
				continue
			}
			l.fields[i] = look(f.Type)
		}
	}
	return l
}
