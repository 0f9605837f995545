package wear

import (
	"encoding/json"
	"sync"

	"limekeep/schedule/record"
	"limekeep/water/boiler"
)

// Memory keeps the waters that were worked out before, and what the last forecast said. They depend on the
// place, the line, the day, the values and the treatment alone, so what is
// remembered is what would be worked out again. The zero Memory is empty and
// ready; it may be used by several forecasts at once.
type Memory struct {
	mutex   sync.Mutex
	waters  map[string]TestedWater
	columns map[string][]boiler.Forming

	unchanged unchanged
}

// memoryWaters bounds what is kept; beyond it the memory starts afresh.
const memoryWaters = 64

// earlier is where a forecast finds waters that were worked out before: in this run of
// the program, of this place or of another on the same mains, or in one before it. All may
// be missing.
type earlier struct {
	memory *Memory
	mains  *Memory
	kept   KeptWaters
}

func (h *Household) earlier() earlier { return earlier{h.Memory, h.Mains, h.Kept} }

// of returns what remembers the waters of a district, or the place's own where none is
// named; nil for nothing.
func (from earlier) of(district string) *Memory {
	if district != "" && from.mains != nil {
		return from.mains
	}
	return from.memory
}

// tested gives a test's sets, from memory or from what is kept where it can.
func (from earlier) tested(d Draws, block string, t record.Dated[record.WaterTest], arrangements []arrangement, base *TestedWater) (TestedWater, error) {
	parts := []any{d.Place, block, t.On, t.Body.Test, t.Body.After}
	for _, a := range arrangements {
		parts = append(parts, a.line)
	}
	if base != nil {
		parts = append(parts, base.key)
	}
	key := keyOf(parts)
	m := from.of(t.Body.District)
	if tested, ok := remembered(m, key, func() map[string]TestedWater { return m.waters }); ok {
		return tested, nil
	}
	tested, ok := TestedWater{}, false
	if from.kept != nil {
		tested, ok = testedOf(from.kept.Take(t.Body.District, key))
	}
	if !ok {
		var err error
		if tested, err = newTestedWater(d, block, t, arrangements, base); err != nil {
			return tested, err
		}
		if from.kept != nil {
			if data, err := tested.kept(); err == nil {
				from.kept.Put(t.Body.District, key, data)
			}
		}
	}
	tested.district, tested.key = t.Body.District, key
	if m != nil {
		m.mutex.Lock()
		defer m.mutex.Unlock()
		if m.waters == nil || len(m.waters) >= memoryWaters {
			m.waters = map[string]TestedWater{}
		}
		m.waters[key] = tested
	}
	return tested, nil
}

// boiler gives the columns of a steam boiler for feeds known by a key, of a district's water
// where one is named.
func (from earlier) boiler(district string, parts []any, feeds []feedWater, work func() ([]boiler.Forming, error)) ([]boiler.Forming, error) {
	key := keyOf(parts)
	m := from.of(district)
	if columns, ok := remembered(m, key, func() map[string][]boiler.Forming { return m.columns }); ok {
		return columns, nil
	}
	var columns []boiler.Forming
	ok := false
	if from.kept != nil {
		columns, ok = columnsOfKept(from.kept.Take(district, key), feeds)
	}
	if !ok {
		var err error
		if columns, err = work(); err != nil {
			return columns, err
		}
		if from.kept != nil {
			if data, err := keptColumns(columns); err == nil {
				from.kept.Put(district, key, data)
			}
		}
	}
	if m != nil {
		m.mutex.Lock()
		defer m.mutex.Unlock()
		if m.columns == nil || len(m.columns) >= memoryWaters {
			m.columns = map[string][]boiler.Forming{}
		}
		m.columns[key] = columns
	}
	return columns, nil
}

// remembered looks a key up under the lock; a nil memory remembers nothing.
func remembered[V any](m *Memory, key string, in func() map[string]V) (V, bool) {
	if m == nil {
		var none V
		return none, false
	}
	m.mutex.Lock()
	defer m.mutex.Unlock()
	v, ok := in()[key]
	return v, ok
}

// keyOf writes what a water depends on as one key. Everything in it passed
// validation, so it can be written.
func keyOf(parts []any) string {
	key, err := json.Marshal(parts)
	if err != nil {
		panic("a water that cannot be written down: " + err.Error())
	}
	return string(key)
}
