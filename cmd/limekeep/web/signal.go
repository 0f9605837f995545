package web

import "sync"

// signal tells all who wait for something that it happened.
type signal struct {
	mu   sync.Mutex
	next chan struct{}
}

// wait returns a channel that is closed the next time it happens.
func (s *signal) wait() <-chan struct{} {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.next == nil {
		s.next = make(chan struct{})
	}
	return s.next
}

// tell wakes all who wait.
func (s *signal) tell() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.next != nil {
		close(s.next)
		s.next = nil
	}
}
