package exact

import (
	"encoding"
	"encoding/binary"
	"errors"
	"math"
	"reflect"
)

// ErrOther says that bytes are not those of a value of the type.
var ErrOther = errors.New("these bytes hold something else")

// Read fills the value that a pointer points to from bytes that Append wrote of a value
// of that type, all of them. Of others it is an error that matches ErrOther, and what was
// filled in by then is worth nothing.
func Read(data []byte, into any) error {
	v := reflect.ValueOf(into)
	if v.Kind() != reflect.Pointer || v.IsNil() {
		return &UnfitError{reflect.TypeOf(into), "it is no pointer to fill"}
	}
	r := reader{rest: data, all: data}
	if err := r.value(v.Elem(), layoutOf(v.Type().Elem())); err != nil {
		return err
	}
	if len(r.rest) > 0 {
		return ErrOther
	}
	return nil
}

type reader struct {
	rest []byte
	all  []byte
	text string // all of it, of which the texts that are read are parts; empty until there is one
}

func (r *reader) take(n int) ([]byte, error) {
	if n < 0 || n > len(r.rest) {
		return nil, ErrOther
	}
	taken := r.rest[:n]
	r.rest = r.rest[n:]
	return taken, nil
}

func (r *reader) uvarint() (uint64, error) {
	x, n := binary.Uvarint(r.rest)
	if n <= 0 {
		return 0, ErrOther
	}
	r.rest = r.rest[n:]
	return x, nil
}

// length reads how many bytes or values follow: never more than there are bytes.
func (r *reader) length() (int, error) {
	n, err := r.uvarint()
	if err != nil || n > uint64(len(r.rest))+1 {
		return 0, ErrOther
	}
	return int(n), nil
}

func (r *reader) value(v reflect.Value, l *layout) error {
	if l.own {
		return r.own(v)
	}
	switch v.Kind() {
	case reflect.Bool:
		b, err := r.take(1)
		if err != nil || b[0] > 1 {
			return ErrOther
		}
		v.SetBool(b[0] == 1)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		x, n := binary.Varint(r.rest)
		if n <= 0 || v.OverflowInt(x) {
			return ErrOther
		}
		r.rest = r.rest[n:]
		v.SetInt(x)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		x, err := r.uvarint()
		if err != nil || v.OverflowUint(x) {
			return ErrOther
		}
		v.SetUint(x)
	case reflect.Float64:
		b, err := r.take(8)
		if err != nil {
			return err
		}
		v.SetFloat(math.Float64frombits(binary.LittleEndian.Uint64(b)))
	case reflect.Float32:
		b, err := r.take(4)
		if err != nil {
			return err
		}
		v.SetFloat(float64(math.Float32frombits(binary.LittleEndian.Uint32(b))))
	case reflect.String:
		n, err := r.length()
		if err != nil {
			return err
		}
		if r.text == "" {
			r.text = string(r.all)
		}
		at := len(r.text) - len(r.rest)
		if _, err := r.take(n); err != nil {
			return err
		}
		v.SetString(r.text[at : at+n])
	case reflect.Array:
		return r.each(v, l.elem)
	case reflect.Slice:
		return r.slice(v, l)
	case reflect.Map:
		return r.pairs(v, l)
	case reflect.Pointer:
		return r.pointer(v, l)
	case reflect.Struct:
		return r.fields(v, l)
	default:
		return &UnfitError{v.Type(), "it is no plain value"}
	}
	return nil
}

func (r *reader) each(v reflect.Value, elem *layout) error {
	for i := range v.Len() {
		if err := r.value(v.Index(i), elem); err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) slice(v reflect.Value, l *layout) error {
	n, err := r.length()
	if err != nil {
		return err
	}
	if n == 0 {
		v.SetZero()
		return nil
	}
	switch numbers := v.Addr().Interface().(type) {
	case *[]float64:
		*numbers, err = r.numbers(n - 1)
		return err
	case *[]float32:
		*numbers, err = r.halves(n - 1)
		return err
	}
	// Room is made as values come, so that a false length takes none.
	v.Set(reflect.MakeSlice(v.Type(), 0, min(n-1, firstRoom)))
	for i := range n - 1 {
		v.Grow(1)
		v.SetLen(i + 1)
		if err := r.value(v.Index(i), l.elem); err != nil {
			return err
		}
	}
	return nil
}

// numbers reads a list of numbers, of which most of what is kept consists.
func (r *reader) numbers(n int) ([]float64, error) {
	if n > len(r.rest)/8 {
		return nil, ErrOther
	}
	numbers := make([]float64, n)
	for i := range numbers {
		numbers[i] = math.Float64frombits(binary.LittleEndian.Uint64(r.rest[8*i:]))
	}
	r.rest = r.rest[8*n:]
	return numbers, nil
}

// halves reads a list of numbers of half the digits.
func (r *reader) halves(n int) ([]float32, error) {
	if n > len(r.rest)/4 {
		return nil, ErrOther
	}
	numbers := make([]float32, n)
	for i := range numbers {
		numbers[i] = math.Float32frombits(binary.LittleEndian.Uint32(r.rest[4*i:]))
	}
	r.rest = r.rest[4*n:]
	return numbers, nil
}

// firstRoom is for how many values of a list there is room before any was read.
const firstRoom = 64

func (r *reader) pairs(v reflect.Value, l *layout) error {
	if v.Type().Key().Kind() != reflect.String {
		return &UnfitError{v.Type(), "its keys are no texts"}
	}
	n, err := r.length()
	if err != nil {
		return err
	}
	if n == 0 {
		v.SetZero()
		return nil
	}
	v.Set(reflect.MakeMap(v.Type()))
	for range n - 1 {
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		if err := r.value(key, l.key); err != nil {
			return err
		}
		if err := r.value(value, l.elem); err != nil {
			return err
		}
		v.SetMapIndex(key, value)
	}
	return nil
}

func (r *reader) pointer(v reflect.Value, l *layout) error {
	b, err := r.take(1)
	if err != nil || b[0] > 1 {
		return ErrOther
	}
	if b[0] == 0 {
		v.SetZero()
		return nil
	}
	v.Set(reflect.New(v.Type().Elem()))
	return r.value(v.Elem(), l.elem)
}

func (r *reader) fields(v reflect.Value, l *layout) error {
	if l.hidden != "" {
		return &UnfitError{v.Type(), "its field " + l.hidden + " is hidden"}
	}
	for i, field := range l.fields {
		if l.left[i] {
			continue
		}
		if err := r.value(v.Field(i), field); err != nil {
			return err
		}
	}
	return nil
}

// own lets a value read itself.
func (r *reader) own(v reflect.Value) error {
	n, err := r.length()
	if err != nil {
		return err
	}
	data, err := r.take(n)
	if err != nil {
		return err
	}
	if err := v.Addr().Interface().(encoding.BinaryUnmarshaler).UnmarshalBinary(data); err != nil {
		return ErrOther
	}
	return nil
}
