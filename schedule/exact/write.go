package exact

import (
	"encoding"
	"encoding/binary"
	"fmt"
	"math"
	"reflect"
	"slices"
)

// Append adds a value to bytes. It takes structs whose fields are all exported, and
// what such are made of: numbers, texts, lists, maps with texts as keys, pointers, and
// what is both an encoding.BinaryAppender and an encoding.BinaryUnmarshaler. A field with
// the tag exact:"-" is left out: there must be nothing in it. Of anything else it is an
// error.
func Append(to []byte, v any) ([]byte, error) {
	value := reflect.ValueOf(v)
	if !value.IsValid() {
		return to, &UnfitError{Why: "there is no value"}
	}
	w := writer{bytes: to}
	err := w.value(value, layoutOf(value.Type()))
	return w.bytes, err
}

// UnfitError says that a type cannot be written and read back.
type UnfitError struct {
	Type reflect.Type
	Why  string
}

// Error says so.
func (e *UnfitError) Error() string {
	return fmt.Sprintf("%v cannot be written and read back: %s", e.Type, e.Why)
}

type writer struct{ bytes []byte }

func (w *writer) length(n int) { w.bytes = binary.AppendUvarint(w.bytes, uint64(n)) }

func (w *writer) value(v reflect.Value, l *layout) error {
	if l.own {
		return w.own(v)
	}
	switch v.Kind() {
	case reflect.Bool:
		b := byte(0)
		if v.Bool() {
			b = 1
		}
		w.bytes = append(w.bytes, b)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		w.bytes = binary.AppendVarint(w.bytes, v.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		w.bytes = binary.AppendUvarint(w.bytes, v.Uint())
	case reflect.Float64:
		w.bytes = binary.LittleEndian.AppendUint64(w.bytes, math.Float64bits(v.Float()))
	case reflect.Float32:
		w.bytes = binary.LittleEndian.AppendUint32(w.bytes, math.Float32bits(float32(v.Float())))
	case reflect.String:
		w.length(v.Len())
		w.bytes = append(w.bytes, v.String()...)
	case reflect.Array:
		return w.each(v, l.elem)
	case reflect.Slice:
		if v.IsNil() {
			w.length(0)
			return nil
		}
		w.length(v.Len() + 1)
		return w.each(v, l.elem)
	case reflect.Map:
		return w.pairs(v, l)
	case reflect.Pointer:
		if v.IsNil() {
			w.bytes = append(w.bytes, 0)
			return nil
		}
		w.bytes = append(w.bytes, 1)
		return w.value(v.Elem(), l.elem)
	case reflect.Struct:
		return w.fields(v, l)
	default:
		return &UnfitError{v.Type(), "it is no plain value"}
	}
	return nil
}

func (w *writer) each(v reflect.Value, elem *layout) error {
	for i := range v.Len() {
		if err := w.value(v.Index(i), elem); err != nil {
			return err
		}
	}
	return nil
}

// pairs writes a map in the order of its keys, so that equal ones give equal bytes.
func (w *writer) pairs(v reflect.Value, l *layout) error {
	if v.Type().Key().Kind() != reflect.String {
		return &UnfitError{v.Type(), "its keys are no texts"}
	}
	if v.IsNil() {
		w.length(0)
		return nil
	}
	w.length(v.Len() + 1)
	keys := v.MapKeys()
	slices.SortFunc(keys, func(a, b reflect.Value) int {
		switch {
		case a.String() < b.String():
			return -1
		case a.String() > b.String():
			return 1
		}
		return 0
	})
	for _, key := range keys {
		if err := w.value(key, l.key); err != nil {
			return err
		}
		if err := w.value(v.MapIndex(key), l.elem); err != nil {
			return err
		}
	}
	return nil
}

func (w *writer) fields(v reflect.Value, l *layout) error {
	if l.hidden != "" {
		return &UnfitError{v.Type(), "its field " + l.hidden + " is hidden"}
	}
	for i, field := range l.fields {
		if l.left[i] {
			if !v.Field(i).IsZero() {
				return &UnfitError{v.Type(), "its field " + v.Type().Field(i).Name + ", which is left out, holds something"}
			}
			continue
		}
		if err := w.value(v.Field(i), field); err != nil {
			return err
		}
	}
	return nil
}

// own lets a value write itself, with its length before it.
func (w *writer) own(v reflect.Value) error {
	data, err := v.Interface().(encoding.BinaryAppender).AppendBinary(nil)
	if err != nil {
		return err
	}
	w.length(len(data))
	w.bytes = append(w.bytes, data...)
	return nil
}
