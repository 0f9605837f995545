package web

import (
	"context"
	"sync"
	"time"
)

// slowWork is work of seconds that a page asks for, such as a forecast of an earlier
// day. It goes on while the page already answers, its result stays for who asks next,
// and one is under way at a time: another question ends it.
type slowWork[K comparable, T any] struct {
	mu  sync.Mutex
	key K
	on  *workUnderWay[T]
}

// workUnderWay is one piece of such work, finished once done is closed.
type workUnderWay[T any] struct {
	done  chan struct{}
	stop  context.CancelFunc
	value T
	err   error
}

// Bounds on slow work. Assumptions: a second is what somebody waits for a page, and
// what takes ten minutes never ends.
const (
	slowPatience = time.Second
	slowMost     = 10 * time.Minute
)

// ask returns the result of the work with a key, and whether it is there: the work is
// begun where it is not, and waited for as long as patience says; without end where it
// is negative.
func (s *slowWork[K, T]) ask(ctx context.Context, key K, patience time.Duration, work func(context.Context) (T, error)) (value T, ready bool, err error) {
	on := s.begin(ctx, key, work)
	var over <-chan time.Time
	if patience >= 0 {
		timer := time.NewTimer(patience)
		defer timer.Stop()
		over = timer.C
	}
	select {
	case <-on.done:
		return on.value, true, on.err
	case <-over:
		return value, false, nil
	case <-ctx.Done():
		return value, false, ctx.Err()
	}
}

// begin returns the work with a key, new where it is another than the last, or where
// that one failed.
func (s *slowWork[K, T]) begin(ctx context.Context, key K, work func(context.Context) (T, error)) *workUnderWay[T] {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.on != nil && s.key == key && !s.on.failed() {
		return s.on
	}
	if s.on != nil {
		s.on.stop()
	}
	own, stop := context.WithTimeout(context.WithoutCancel(ctx), slowMost)
	on := &workUnderWay[T]{done: make(chan struct{}), stop: stop}
	s.key, s.on = key, on
	go func() {
		defer close(on.done)
		defer stop()
		on.value, on.err = work(own)
	}()
	return on
}

func (w *workUnderWay[T]) failed() bool {
	select {
	case <-w.done:
		return w.err != nil
	default:
		return false
	}
}

// patience is how long a page waits for slow work: without end where nothing watches
// the records, since then nobody would ask again.
func (h *handler) patience() time.Duration {
	if !h.publisher.watched.Load() {
		return -1
	}
	return slowPatience
}
