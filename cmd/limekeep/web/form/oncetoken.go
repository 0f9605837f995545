package form

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"net/url"
	"slices"
	"sync"
)

// OnceTokens sees to it that a filled-in form is taken once: each form carries a
// token, and a form that comes again leads to the record it made the first
// time. A double click would otherwise write a service or a test down twice,
// and two equal tests would count as two witnesses. What it remembers is lost
// when the server ends; a form sent again after that is taken as a new one.
type OnceTokens struct {
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

// NewOnceTokens returns tokens of which none was used yet.
func NewOnceTokens() *OnceTokens { return &OnceTokens{} }

// Draw returns a token for a form.
func (t *OnceTokens) Draw() string { return rand.Text() }

// Record returns the number of the record that a token wrote; false for one that was not used yet.
func (t *OnceTokens) Record(token string) (int64, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.find(token)
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
// so that two clicks cannot both be the first.
func (t *OnceTokens) Once(token string, write func() (int64, error)) (int64, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
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
