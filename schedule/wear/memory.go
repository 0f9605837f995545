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
	columns map[string][]boiler.Column

	unchanged unchanged
}

// memoryWaters bounds what is kept; beyond it the memory starts afresh.
const memoryWaters = 64

// tested gives a test's sets, from memory where it can.
func (m *Memory) tested(d Draws, block string, t record.Dated[record.WaterTest], arrangements []arrangement, base *TestedWater) (TestedWater, error) {
	parts := []any{d.Place, block, t.On, t.Body.Test, t.Body.After}
	for _, a := range arrangements {
		parts = append(parts, a.line)
	}
	if base != nil {
		parts = append(parts, base.key)
	}
	key := keyOf(parts)
	if tested, ok := remembered(m, key, func() map[string]TestedWater { return m.waters }); ok {
		return tested, nil
	}
	tested, err := newTestedWater(d, block, t, arrangements, base)
	if err != nil {
		return tested, err
	}
	tested.key = key
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

// boiler gives the columns of a steam boiler for waters known by a key.
func (m *Memory) boiler(parts []any, work func() ([]boiler.Column, error)) ([]boiler.Column, error) {
	key := keyOf(parts)
	if columns, ok := remembered(m, key, func() map[string][]boiler.Column { return m.columns }); ok {
		return columns, nil
	}
	columns, err := work()
	if err != nil || m == nil {
		return columns, err
	}
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.columns == nil || len(m.columns) >= memoryWaters {
		m.columns = map[string][]boiler.Column{}
	}
	m.columns[key] = columns
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
