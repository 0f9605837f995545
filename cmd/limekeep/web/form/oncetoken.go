package form

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"sync"

	"limekeep/schedule"
)

// OnceTokens sees to it that a filled-in form is taken once: each form carries a
// token, and a form that comes again leads to the record it made the first
// time. A double click would otherwise write a service or a test down twice,
// and two equal tests would count as two witnesses. What it remembers is lost
// when the server ends, unless it is shared with others; a form sent again after that is
// taken as a new one.
type OnceTokens struct {
	shared schedule.Shared // nil where it is not

	mu    sync.Mutex
	taken []usedToken
}

type usedToken struct {
	token  string
	record int64
}

// TokenInput is the name of the input that carries a form's token.
const TokenInput = "ticket"

// mostTokens is how many used tokens are remembered: a busy day's forms many
// times over.
const mostTokens = 1000

// NewOnceTokens returns tokens of which none was used yet here; nil for those that other
// servers have nothing to do with.
func NewOnceTokens(shared schedule.Shared) *OnceTokens { return &OnceTokens{shared: shared} }

// Draw returns a token for a form.
func (t *OnceTokens) Draw() string { return rand.Text() }

// Record returns the number of the record that a token wrote; false for one that was not used yet.
func (t *OnceTokens) Record(ctx context.Context, token string) (int64, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if record, ok := t.find(token); ok || t.shared == nil || token == "" {
		return record, ok
	}
	record, ok, err := t.recall(ctx, token)
	return record, ok && err == nil
}

// recall asks what other servers remember of a token.
func (t *OnceTokens) recall(ctx context.Context, token string) (int64, bool, error) {
	text, ok, err := t.shared.Recall(ctx, schedule.FormKind, token)
	if err != nil || !ok {
		return 0, false, err
	}
	record, err := strconv.ParseInt(text, 10, 64)
	return record, err == nil, err
}

// find looks a used token up; t is locked.
func (t *OnceTokens) find(token string) (int64, bool) {
	i := slices.IndexFunc(t.taken, func(u usedToken) bool { return u.token == token })
	if token == "" || i < 0 {
		return 0, false
	}
	return t.taken[i].record, true
}

// TokenOf returns what a filled-in form is known by: its token together with all
// that was filled in, since somebody who goes back and changes the day means
// another service. It is "" for a form without a token.
func TokenOf(filled url.Values) string {
	if filled.Get(TokenInput) == "" {
		return ""
	}
	sum := sha256.Sum256([]byte(filled.Encode()))
	return hex.EncodeToString(sum[:])
}

// Once writes unless the token was used already, and returns the record's
// number. A form without a token is always taken. Forms wait for each other,
// so that two clicks cannot both be the first. Where it is shared, what is written in the
// context of the request carries the token, so that both are kept or neither.
func (t *OnceTokens) Once(r *http.Request, token string, write func() (int64, error)) (int64, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.shared != nil && token != "" {
		return t.onceForAll(r, token, write)
	}
	if record, ok := t.find(token); ok {
		return record, nil
	}
	record, err := write()
	if err != nil || token == "" {
		return record, err
	}
	if len(t.taken) == mostTokens {
		t.taken = slices.Delete(t.taken, 0, 1)
	}
	t.taken = append(t.taken, usedToken{token, record})
	return record, nil
}

// onceForAll is Once among all servers; t is locked.
func (t *OnceTokens) onceForAll(r *http.Request, token string, write func() (int64, error)) (int64, error) {
	ctx := r.Context()
	release, err := t.shared.Alone(ctx, "form "+token)
	if err != nil {
		return 0, err
	}
	defer release()
	if record, ok, err := t.recall(ctx, token); err != nil || ok {
		return record, err
	}
	*r = *r.WithContext(schedule.WithForm(ctx, token))
	record, err := write()
	if err != nil {
		return record, err
	}
	return record, t.shared.Remember(ctx, schedule.FormKind, token, strconv.FormatInt(record, 10), schedule.FormLasts)
}
