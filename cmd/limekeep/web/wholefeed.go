package web

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/agenda"
	"limekeep/schedule/ical"
)

// errNotYet says that not every place was worked out yet: a calendar without some of
// them would have programs drop what they have of those.
var errNotYet = errors.New("not every place was worked out yet")

// wholeName is what the calendar and the list of to-dos of all places are called.
const wholeName = wording.CareOfAllPlaces

// wholeFeed is the calendar of all places, put together when it is asked for and any of
// them has changed.
type wholeFeed struct {
	places *places

	mu       sync.Mutex
	of       []*agenda.Agenda
	files    map[fileKey]*file
	modified lastModified
}

// agendas returns what is given out of each place, by id.
func (p *places) agendas() ([]*agenda.Agenda, error) {
	list := p.list()
	all := make([]*agenda.Agenda, len(list))
	for i, at := range list {
		if b := at.handler.publisher.now.Load(); b != nil {
			all[i] = &b.agenda // amended by ticks ahead of the plan
			continue
		}
		if all[i] = at.agenda.Load(); all[i] == nil {
			return nil, errNotYet
		}
	}
	return all, nil
}

// roundFeed stands in the address of the calendar of all places where it is about the
// booked visits alone.
const roundFeed = "round"

// file returns the calendar with links under an address; of the booked visits alone, or
// of everything.
func (f *wholeFeed) file(_ context.Context, base string, visits bool) (*file, error) {
	key, name, encode := fileKey{base: base}, wholeName, ical.EncodeAll
	if visits {
		key.equipment, name, encode = roundFeed, ical.RoundName(""), ical.EncodeVisits
	}
	all, err := f.places.agendas()
	if err != nil {
		return nil, err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if !slices.Equal(all, f.of) || len(f.files) >= mostFiles {
		f.of, f.files = all, map[fileKey]*file{}
	}
	if made, ok := f.files[key]; ok {
		return made, nil
	}
	based := make([]agenda.Agenda, len(all))
	for i, a := range all {
		based[i] = *a
		based[i].Base = base + Under(a.Place)
	}
	var plain bytes.Buffer
	if err := encode(&plain, name, based); err != nil {
		return nil, err
	}
	now := time.Now()
	if f.places.front.Days != nil {
		now = f.places.front.Days.Now()
	}
	made, err := fileOf("limekeep-all", plain.Bytes(), func(tag string) time.Time { return f.modified.of(key, tag, now) })
	if err != nil {
		return nil, err
	}
	f.files[key] = made
	return made, nil
}
