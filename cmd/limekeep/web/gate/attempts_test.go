package gate

import (
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// After five wrong passwords each doubles the wait, to a quarter of an hour for an address
// and a minute for the owner; an hour later, or with the right one, all is forgotten.
func TestWrongPasswordsWait(t *testing.T) {
	ctx := t.Context()
	now := time.Date(2026, 3, 12, 9, 0, 0, 0, time.UTC)
	a := NewAttempts(func() time.Time { return now }, nil)
	here, there := AddressKey("2001:db8::1"), AddressKey("2001:db8:0:1::1")
	if here != AddressKey("2001:db8::2") || here == there || AddressKey("192.0.2.1") == AddressKey("192.0.2.2") {
		t.Error("of IPv6 the network of 64 bits counts, of IPv4 each address")
	}
	want := []time.Duration{0, 0, 0, 0, 0, time.Second, 2 * time.Second, 4 * time.Second}
	for i, w := range want {
		a.Fail(ctx, here, OwnerKey)
		if got := a.Wait(ctx, here); got != w {
			t.Errorf("after %d wrong ones: a wait of %v, not %v", i+1, got, w)
		}
	}
	for range 40 {
		a.Fail(ctx, here, OwnerKey)
	}
	if address, owner, other := a.Wait(ctx, here), a.Wait(ctx, OwnerKey), a.Wait(ctx, there); address != 15*time.Minute || owner != time.Minute || other != 0 {
		t.Errorf("after many: %v for the address, %v for the owner, %v for another", address, owner, other)
	}
	if got := a.Wait(ctx, OwnerKey, here); got != 15*time.Minute {
		t.Errorf("of two the longer counts, not %v", got)
	}
	if a.Forget(ctx, here); a.Wait(ctx, here) != 0 {
		t.Error("the right password changed nothing")
	}
	now = now.Add(time.Hour + time.Second)
	if a.Fail(ctx, OwnerKey); a.Wait(ctx, OwnerKey) != 0 {
		t.Error("after an hour they still count")
	}
}

// Passwords that are tried all at once are looked at no more often than one after the other.
func TestWrongPasswordsSideBySideWait(t *testing.T) {
	ctx := t.Context()
	now := time.Date(2026, 3, 12, 9, 0, 0, 0, time.UTC)
	a := NewAttempts(func() time.Time { return now }, nil)
	var looked atomic.Int64
	var all sync.WaitGroup
	for range 300 {
		all.Go(func() {
			if a.Begin(ctx, AddressKey("192.0.2.1"), OwnerKey) == 0 {
				looked.Add(1)
			}
		})
	}
	all.Wait()
	if n := looked.Load(); n != freeAttempts+1 {
		t.Errorf("%d of 300 were looked at, want %d", n, freeAttempts+1)
	}
	if a.Forget(ctx, AddressKey("192.0.2.1"), OwnerKey); a.Begin(ctx, OwnerKey) != 0 {
		t.Error("the right password changed nothing")
	}
}
