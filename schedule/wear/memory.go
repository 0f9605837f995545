package wear

import (
	"encoding/json"
	"sync"

	"limekeep/schedule/record"
)

// Memory keeps the sets of water tests that were worked out before. A set
// depends on the place, the line, the day, the values and the treatment alone,
// so what is remembered is what would be worked out again. The zero Memory is
// empty and ready; it may be used by several forecasts at once.
type Memory struct {
	mutex sync.Mutex
	known map[string]TestedWater
}

// memoryTests bounds what is kept; beyond it the memory starts afresh.
const memoryTests = 64

// tested gives a test's sets, from memory where it can.
func (m *Memory) tested(d Draws, block string, t record.Dated[record.WaterTest], stages []record.Treatment) (TestedWater, error) {
	if m == nil {
		return newTestedWater(d, block, t, stages)
	}
	key, err := json.Marshal([]any{d.Place, block, t.On, t.Body.Test, stages})
	if err != nil {
		return newTestedWater(d, block, t, stages) // a NaN that validation would refuse
	}
	m.mutex.Lock()
	tested, ok := m.known[string(key)]
	m.mutex.Unlock()
	if ok {
		return tested, nil
	}
	if tested, err = newTestedWater(d, block, t, stages); err != nil {
		return tested, err
	}
	m.mutex.Lock()
	defer m.mutex.Unlock()
	if m.known == nil || len(m.known) >= memoryTests {
		m.known = map[string]TestedWater{}
	}
	m.known[string(key)] = tested
	return tested, nil
}
