package day

import (
	"context"
	"crypto/sha256"
	"encoding/hex"

	"limekeep/schedule/exact"
)

// derived is where what was worked out is kept for another run of the program. All of it
// can be worked out again, so whatever is not there, or cannot be read, is no error.
type derived struct {
	opener *Opener
	place  string
}

// How much of a kind is kept for a place (assumptions). An outlook takes 0.1 MB, with the
// course of gauges three times as much; a water test behind a softener, for a steam boiler,
// takes 0.3 MB. None of it can be packed by much.
const (
	outlookBytes = 2 << 20
	waterBytes   = 8 << 20
)

// derived returns where the outlooks of a day's place are kept.
func (d *Day) derived() derived { return derived{d.opener, d.Place.ID} }

// bare reports whether nothing is kept.
func (s derived) bare() bool { return s.opener.Derived == nil || s.opener.Program == "" }

// withoutOutlooks reports whether no outlook is kept.
func (s derived) withoutOutlooks() bool { return s.bare() || s.opener.WatersAlone }

// key tells by all that something follows from. The program is part of it: another one
// may work out something else.
func (s derived) key(from any) (string, error) {
	written, err := exact.Append([]byte(s.opener.Program+"\x00"), from)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(written)
	return hex.EncodeToString(sum[:]), nil
}

// find returns the bytes that are kept under a key; nil for none.
func (s derived) find(ctx context.Context, kind, key string) []byte {
	data, err := s.opener.Derived.Derived(ctx, s.place, kind, key)
	if err != nil {
		return nil
	}
	return data
}

// keep keeps bytes under a key. They are written by and by, since whoever asked for them
// has them: Rest waits until that is done.
func (s derived) keep(ctx context.Context, kind, key string, data []byte, most int) {
	working := context.WithoutCancel(ctx)
	s.opener.keeping.Go(func() {
		_ = s.opener.Derived.KeepDerived(working, s.place, kind, key, data, most) // worth no complaint
	})
}

// take fills a value with what is kept under a key, and reports whether there was
// any.
func (s derived) take(ctx context.Context, kind, key string, into any) bool {
	data := s.find(ctx, kind, key)
	return data != nil && exact.Read(data, into) == nil
}

// put keeps a value under a key.
func (s derived) put(ctx context.Context, kind, key string, value any) {
	data, err := exact.Append(nil, value)
	if err != nil {
		return // a value that cannot be kept is worked out each time
	}
	s.keep(ctx, kind, key, data, outlookBytes)
}

// Rest waits until all is kept that forecasts worked out, before the records are closed.
func (o *Opener) Rest() { o.keeping.Wait() }
