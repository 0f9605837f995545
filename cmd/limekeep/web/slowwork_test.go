package web

import (
	"context"
	"errors"
	"testing"
)

// Slow work answers later, is done once for all who ask the same, is ended by another
// question, and is tried again where it failed.
func TestSlowWorkSideBySide(t *testing.T) {
	var s slowWork[string, int]
	ctx := t.Context()
	begun, ended := make(chan struct{}), make(chan error, 1)
	hangs := func(ctx context.Context) (int, error) {
		close(begun)
		<-ctx.Done()
		ended <- ctx.Err()
		return 0, ctx.Err()
	}
	if _, ready, err := s.ask(ctx, "hangs", 0, hangs); ready || err != nil {
		t.Fatalf("ready %t, %v", ready, err)
	}
	<-begun
	if _, ready, err := s.ask(ctx, "hangs", 0, nil); ready || err != nil { // the same goes on
		t.Fatalf("ready %t, %v", ready, err)
	}
	times := 0
	seven := func(context.Context) (int, error) { times++; return 7, nil }
	if x, ready, err := s.ask(ctx, "seven", -1, seven); x != 7 || !ready || err != nil {
		t.Fatalf("%d, ready %t, %v", x, ready, err)
	}
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Errorf("the work before ended with %v", err)
	}
	if x, ready, _ := s.ask(ctx, "seven", -1, seven); x != 7 || !ready || times != 1 {
		t.Errorf("%d, ready %t, worked out %d times", x, ready, times)
	}
	broken := errors.New("broken")
	if _, ready, err := s.ask(ctx, "breaks", -1, func(context.Context) (int, error) { return 0, broken }); !ready || !errors.Is(err, broken) {
		t.Errorf("ready %t, %v", ready, err)
	}
	if x, _, err := s.ask(ctx, "breaks", -1, seven); x != 7 || err != nil {
		t.Errorf("tried again: %d, %v", x, err)
	}
}
