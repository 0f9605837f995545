package exact

import (
	"errors"
	"math"
	"reflect"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/sample/bound"
)

type leaf struct {
	Name  string
	Value float64
	On    int32
	Sure  bool
}

// Whole has every kind of thing that is kept, each as it is and as it is not.
type Whole struct {
	Deeper
	Numbers []float64
	Table   [2][3]float64
	Leaves  []leaf
	Maybe   *leaf
	By      map[string]leaf
	Count   uint16
	When    time.Time
	Text    []byte
	Half    float32
	Halves  []float32
	rest    []int `exact:"-"`
}

// Deeper is embedded.
type Deeper struct{ Deep *[]int }

func wholes(t *rapid.T) Whole {
	leaves := rapid.Custom(func(t *rapid.T) leaf {
		return leaf{
			Name: rapid.String().Draw(t, "name"), On: rapid.Int32().Draw(t, "on"), Sure: rapid.Bool().Draw(t, "sure"),
			Value: rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, math.Copysign(0, -1), math.Inf(1), math.Inf(-1), math.SmallestNonzeroFloat64})).Draw(t, "value"),
		}
	})
	w := Whole{
		Count: rapid.Uint16().Draw(t, "count"), Half: rapid.Float32().Draw(t, "half"),
		When: time.Unix(rapid.Int64Range(-1e10, 1e11).Draw(t, "when"), 0).UTC(),
	}
	if rapid.Bool().Draw(t, "lists") {
		w.Halves = rapid.SliceOf(rapid.Float32()).Draw(t, "halves")
		w.Numbers, w.Leaves = rapid.SliceOf(rapid.Float64()).Draw(t, "numbers"), rapid.SliceOf(leaves).Draw(t, "leaves")
		w.By, w.Text = rapid.MapOf(rapid.String(), leaves).Draw(t, "by"), rapid.SliceOf(rapid.Byte()).Draw(t, "text")
	}
	if rapid.Bool().Draw(t, "pointers") {
		l, deep := leaves.Draw(t, "maybe"), rapid.SliceOf(rapid.Int()).Draw(t, "deep")
		w.Maybe, w.Deep = &l, &deep
	}
	w.Table[1][2] = rapid.Float64().Draw(t, "table")
	return w
}

// What is read is what was written: lists that are not there stay so, empty ones stay
// empty, and the same is written again as the same bytes.
func TestReadsWhatWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := wholes(t)
		data, err := Append([]byte("head"), w)
		if err != nil {
			t.Fatal(err)
		}
		if string(data[:4]) != "head" {
			t.Fatal("what was there before is gone")
		}
		var read Whole
		if err := Read(data[4:], &read); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(w, read) {
			t.Fatalf("(-written +read)\n%s", cmp.Diff(w, read))
		}
		again, err := Append([]byte("head"), read)
		if err != nil || string(again) != string(data) {
			t.Fatalf("written again it is other bytes (%v)", err)
		}
	})
}

// Numbers come back to the bit, those that are no number among them.
func TestBitsOfNumbers(t *testing.T) {
	for _, bits := range []uint64{0, 1 << 63, math.Float64bits(math.NaN()), 0x7ff8000000000123, 0xfff0000000000001, math.Float64bits(math.Pi), 1} {
		data, err := Append(nil, math.Float64frombits(bits))
		if err != nil {
			t.Fatal(err)
		}
		var x float64
		if err := Read(data, &x); err != nil || math.Float64bits(x) != bits {
			t.Errorf("%x comes back as %x (%v)", bits, math.Float64bits(x), err)
		}
	}
}

// Bytes that are cut short or too long are told.
func TestOtherBytes(t *testing.T) {
	data, err := Append(nil, Whole{Numbers: []float64{1, 2}, Halves: []float32{3}, Maybe: &leaf{Name: "a"}, By: map[string]leaf{"b": {}}})
	if err != nil {
		t.Fatal(err)
	}
	var read Whole
	for n := range data {
		if err := Read(data[:n], &read); !errors.Is(err, ErrOther) {
			t.Errorf("the first %d of %d bytes are read: %v", n, len(data), err)
		}
	}
	if err := Read(append(data, 0), &read); !errors.Is(err, ErrOther) {
		t.Errorf("a byte too many is read: %v", err)
	}
}

// What could not be read back is not written.
func TestUnfit(t *testing.T) {
	hidden := struct{ a int }{1}
	var unfit *UnfitError
	for _, v := range []any{hidden, Whole{rest: []int{1}}, []any{1}, func() {}, map[int]int{1: 1}, make(chan int), nil, &hidden} {
		if _, err := Append(nil, v); !errors.As(err, &unfit) {
			t.Errorf("%T is written: %v", v, err)
		} else if unfit.Error() == "" {
			t.Error("nothing is said of it")
		}
	}
	if err := Read([]byte{1}, hidden); !errors.As(err, &unfit) {
		t.Errorf("what cannot be filled is read: %v", err)
	}
	if err := Read([]byte{1}, &hidden); !errors.As(err, &unfit) {
		t.Errorf("a hidden field is filled: %v", err)
	}
}

func FuzzRead(f *testing.F) {
	data, err := Append(nil, Whole{Numbers: []float64{1, 2}, Halves: []float32{3}, Maybe: &leaf{Name: "a"}, By: map[string]leaf{"b": {}}})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bound.Memory(t)()
		var read Whole
		if err := Read(data, &read); err != nil {
			return
		}
		again, err := Append(nil, read)
		if err != nil {
			t.Fatal(err)
		}
		var twice Whole
		if err := Read(again, &twice); err != nil {
			t.Fatalf("what was written is not read: %v", err)
		}
	})
}
