package web_test

import (
	"context"
	"maps"
	"sync"

	"limekeep/schedule"
)

// memorySync keeps what task apps were shown of one place.
type memorySync struct {
	mu    sync.Mutex
	state schedule.SyncState
	marks map[string]schedule.Mark
}

var _ schedule.SyncStore = (*memorySync)(nil)

func (s *memorySync) SyncState(context.Context, string) (schedule.SyncState, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.copy(), nil
}

func (s *memorySync) copy() schedule.SyncState {
	state := s.state
	state.Objects = maps.Clone(s.state.Objects)
	return state
}

func (s *memorySync) SetObjects(_ context.Context, _ string, tags map[string]string) (schedule.SyncState, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.state.Objects == nil {
		s.state = schedule.SyncState{Epoch: "first", Objects: map[string]schedule.SyncObject{}}
	}
	changed := map[string]string{}
	for name, o := range s.state.Objects {
		if tag := tags[name]; tag != o.Tag {
			changed[name] = tag
		}
	}
	for name, tag := range tags {
		if s.state.Objects[name].Tag != tag {
			changed[name] = tag
		}
	}
	if len(changed) > 0 {
		s.state.Number++
	}
	for name, tag := range changed {
		o := s.state.Objects[name]
		o.Tag, o.Number = tag, s.state.Number
		s.state.Objects[name] = o
	}
	return s.copy(), nil
}

func (s *memorySync) Touch(_ context.Context, _, name string) (schedule.SyncState, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if o := s.state.Objects[name]; o.Tag != "" {
		s.state.Number++
		o.Number, o.Touched = s.state.Number, o.Touched+1
		s.state.Objects[name] = o
	}
	return s.copy(), nil
}

func (s *memorySync) Marks(context.Context, string) (map[string]schedule.Mark, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return maps.Clone(s.marks), nil
}

func (s *memorySync) SetMark(_ context.Context, _, uid string, m schedule.Mark) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.marks == nil {
		s.marks = map[string]schedule.Mark{}
	}
	if s.marks[uid] = m; m.Kind == "" {
		delete(s.marks, uid)
	}
	return nil
}
