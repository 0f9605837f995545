package gate

import (
	"context"
	"encoding/json"
	"net/netip"
	"sync"
	"time"

	"limekeep/schedule"
)

// Attempts counts passwords that were wrong, by account and by address, and makes
// those wait who give more of them. What it counts is lost when the server ends, unless it
// is shared with others.
type Attempts struct {
	now    func() time.Time
	shared schedule.Shared // nil where it is not

	mu    sync.Mutex
	wrong map[string]*wrongOnes
}

// wrongOnes are the wrong passwords of one account or address.
type wrongOnes struct {
	count int
	last  time.Time
	until time.Time // when the next may be tried
}

// How wrong passwords are answered. Assumptions.
const (
	freeAttempts    = 5                // that nobody waits after
	longestWait     = 15 * time.Minute // of an address
	longestOwnWait  = time.Minute      // of the account, so that nobody can shut its owner out
	attemptsLast    = time.Hour        // after which they are forgotten
	mostCounted     = 10_000           // accounts and addresses
	addressKeyStart = "address "
)

// OwnerKey is what the owner's account is counted under.
const OwnerKey = "owner"

// NewAttempts returns a count of none here, by a clock; shared is nil where other servers
// have nothing to do with it.
func NewAttempts(now func() time.Time, shared schedule.Shared) *Attempts {
	return &Attempts{now: now, shared: shared, wrong: map[string]*wrongOnes{}}
}

// AddressKey returns what an address is counted under: of IPv6 the network of 64 bits,
// since a household has all of one.
func AddressKey(address string) string {
	if ip, err := netip.ParseAddr(address); err == nil && ip.Is6() && !ip.Is4In6() {
		if network, err := ip.Prefix(64); err == nil {
			return addressKeyStart + network.String()
		}
	}
	return addressKeyStart + address
}

// Wait returns how long another password for any of the keys is not looked at; 0 where
// it is.
func (a *Attempts) Wait(ctx context.Context, keys ...string) time.Duration {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.recall(ctx, keys)
	return a.longest(keys)
}

// longest returns the longest wait; it is locked.
func (a *Attempts) longest(keys []string) time.Duration {
	longest := time.Duration(0)
	now := a.now()
	for _, key := range keys {
		if w, ok := a.wrong[key]; ok {
			longest = max(longest, w.until.Sub(now))
		}
	}
	return longest
}

// Begin returns how long another password for any of the keys is not looked at; where it is
// looked at it returns 0, and counts it as wrong until Forget. So many that come at once are
// looked at no more than as many one after the other.
func (a *Attempts) Begin(ctx context.Context, keys ...string) time.Duration {
	a.mu.Lock()
	defer a.mu.Unlock()
	defer a.together(ctx, keys)()
	wait := a.longest(keys)
	if wait <= 0 {
		a.fail(ctx, keys)
	}
	return max(0, wait)
}

// Fail counts a wrong password. After the first few each doubles the wait.
func (a *Attempts) Fail(ctx context.Context, keys ...string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	defer a.together(ctx, keys)()
	a.fail(ctx, keys)
}

// together takes over what other servers counted, and has them wait, so that two at once
// count as two, until the function that it returns is called. It is locked.
func (a *Attempts) together(ctx context.Context, keys []string) (release func()) {
	if a.shared == nil {
		return func() {}
	}
	release, err := a.shared.Alone(ctx, wrongKind)
	if err != nil {
		release = func() {}
	}
	a.recall(ctx, keys)
	return release
}

// fail counts; it is locked.
func (a *Attempts) fail(ctx context.Context, keys []string) {
	now := a.now()
	for _, key := range keys {
		w, ok := a.wrong[key]
		if !ok || now.Sub(w.last) > attemptsLast {
			a.makeRoom(now)
			w = &wrongOnes{}
			a.wrong[key] = w
		}
		w.count++
		w.last = now
		most := longestWait
		if key == OwnerKey {
			most = longestOwnWait
		}
		if over := w.count - freeAttempts; over > 0 {
			w.until = now.Add(min(most, time.Second<<min(over-1, 20)))
		}
		a.remember(ctx, key, w)
	}
}

// Forget forgets what was wrong before the right password came.
func (a *Attempts) Forget(ctx context.Context, keys ...string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, key := range keys {
		delete(a.wrong, key)
		if a.shared != nil {
			_ = a.shared.Forget(ctx, wrongKind, key) // they count until their time is over
		}
	}
}

// wrongKind is the kind under which wrong passwords are remembered.
const wrongKind = "wrong password"

// keptWrong is how they are kept.
type keptWrong struct {
	Count       int
	Last, Until time.Time
}

// recall takes over what other servers counted; where that cannot be asked for, what was
// counted here goes on. It is locked.
func (a *Attempts) recall(ctx context.Context, keys []string) {
	for _, key := range keys {
		if a.shared == nil {
			return
		}
		text, ok, err := a.shared.Recall(ctx, wrongKind, key)
		if err != nil {
			continue
		}
		var kept keptWrong
		if !ok || json.Unmarshal([]byte(text), &kept) != nil {
			delete(a.wrong, key)
			continue
		}
		a.wrong[key] = &wrongOnes{kept.Count, kept.Last, kept.Until}
	}
}

// remember tells other servers what was counted. It is locked.
func (a *Attempts) remember(ctx context.Context, key string, w *wrongOnes) {
	if a.shared == nil {
		return
	}
	if text, err := json.Marshal(keptWrong{w.count, w.last, w.until}); err == nil {
		_ = a.shared.Remember(ctx, wrongKind, key, string(text), attemptsLast) // it counts here in any case
	}
}

// makeRoom bounds what is counted; the oldest go first. It is locked.
func (a *Attempts) makeRoom(now time.Time) {
	if len(a.wrong) < mostCounted {
		return
	}
	oldest, at := "", now
	for key, w := range a.wrong {
		if now.Sub(w.last) > attemptsLast {
			delete(a.wrong, key)
			continue
		}
		if key != OwnerKey && !w.last.After(at) {
			oldest, at = key, w.last
		}
	}
	if len(a.wrong) >= mostCounted {
		delete(a.wrong, oldest)
	}
}
