package exact

import (
	"encoding"
	"reflect"
	"sync"
)

// typePlan is what has to be known of a type to write and read it.
type typePlan struct {
	own    bool   // it writes and reads itself
	hidden string // a field that cannot be set from outside; empty for none
	left   []bool // by field: whether it is left out
}

// typePlans remembers them, since looking takes longer than writing. They follow from
// the types alone.
var typePlans sync.Map // of typePlan by reflect.Type

var (
	appender    = reflect.TypeFor[encoding.BinaryAppender]()
	unmarshaler = reflect.TypeFor[encoding.BinaryUnmarshaler]()
)

func planOf(t reflect.Type) typePlan {
	if plan, ok := typePlans.Load(t); ok {
		return plan.(typePlan)
	}
	plan := typePlan{own: t.Implements(appender) && reflect.PointerTo(t).Implements(unmarshaler)}
	if t.Kind() == reflect.Struct {
		plan.left = make([]bool, t.NumField())
		for i := range t.NumField() {
			f := t.Field(i)
			plan.left[i] = f.Tag.Get("exact") == "-"
			if !f.IsExported() && !plan.left[i] {
				plan.hidden = f.Name
			}
		}
	}
	typePlans.Store(t, plan)
	return plan
}
