package web

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"sync"

	goical "github.com/emersion/go-ical"

	"limekeep/cmd/limekeep/web/dav"
	"limekeep/cmd/limekeep/web/gate"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/ical"
)

// wholeTodos is the collection of the to-dos of all places. Each object is that of its
// place, under a name with the place's id before it; what an app does to it is done
// there.
type wholeTodos struct {
	places *places

	mu    sync.Mutex
	of    []*dav.Snapshot
	now   *dav.Snapshot
	named map[string]namedTodo // by name in this collection
}

// namedTodo is an object of a place as it is shown among those of others.
type namedTodo struct {
	from string // tag of the place's object
	as   dav.Object
}

var _ dav.Collection = (*wholeTodos)(nil)

// apps answers task apps for all places together; nil where none get in.
func (c *wholeTodos) apps() http.Handler {
	front := c.places.front
	if front.SyncStore == nil || front.CheckPassword == nil {
		return nil
	}
	return (&dav.Server{
		Collection: c, Prefix: davPrefix, User: AllPlaces, Log: front.log,
		Authenticate: func(ctx context.Context, user, password string) (string, bool, error) {
			app, ok, err := front.CheckPassword(ctx, password)
			if ok = ok && user == AllPlaces; !ok && err == nil {
				front.log.WarnContext(ctx, "the password of a task app was wrong", "address", gate.AddressOf(ctx))
			}
			return app, ok, err
		},
	}).Handler()
}

// Snapshot returns the collection as it stands.
func (c *wholeTodos) Snapshot(ctx context.Context) (*dav.Snapshot, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	list := c.places.list()
	parts := make([]*dav.Snapshot, len(list))
	names := make([]string, len(list))
	for i, at := range list {
		b := at.handler.publisher.now.Load()
		if b == nil {
			if at.outlook.Load() == nil {
				return nil, errNotYet
			}
			var err error
			if b, err = at.handler.publisher.current(ctx); err != nil { // it let go of its forecast
				return nil, err
			}
		}
		parts[i], names[i] = b.todos, b.agenda.Name
	}
	if c.now != nil && slices.Equal(parts, c.of) {
		return c.now, nil
	}
	next := &dav.Snapshot{Name: wholeName, Description: wording.DueEverywhere, Color: ical.ColorRGBA}
	named := map[string]namedTodo{}
	tags := map[string]string{}
	for i, part := range parts {
		if len(next.Zone) == 0 {
			next.Zone = part.Zone
		}
		for _, o := range part.Objects {
			name := list[i].id + "." + o.Name
			n, ok := c.named[name]
			if !ok || n.from != o.ETag {
				as, err := atPlace(o, name, names[i])
				if err != nil {
					return nil, err
				}
				n = namedTodo{from: o.ETag, as: as}
			}
			named[name], tags[name] = n, n.as.ETag
		}
	}
	state, err := c.places.front.SyncStore.SetObjects(ctx, allKey, tags)
	if err != nil {
		return nil, err
	}
	next.Epoch, next.Number, next.Oldest = state.Epoch, state.Number, state.Oldest
	for name, o := range state.Objects {
		if o.Tag == "" {
			next.Gone = append(next.Gone, dav.Gone{Name: name, Number: o.Number})
			continue
		}
		n := named[name]
		n.as.Number = o.Number
		named[name] = n
		next.Objects = append(next.Objects, n.as)
	}
	slices.SortFunc(next.Objects, func(a, b dav.Object) int { return strings.Compare(a.Name, b.Name) })
	slices.SortFunc(next.Gone, func(a, b dav.Gone) int { return strings.Compare(a.Name, b.Name) })
	c.of, c.named, c.now = parts, named, next
	return next, nil
}

// allKey is what the state of all places together is kept under: no place is called so.
const allKey = "~" + AllPlaces

// atPlace returns the object of a place as it is shown among those of others.
func atPlace(o dav.Object, name, place string) (dav.Object, error) {
	cal, data, err := ical.AtPlace(o.Calendar, place)
	if err != nil {
		return dav.Object{}, err
	}
	o.Name, o.Calendar, o.Data, o.ETag = name, cal, data, tagOf(data)
	return o, nil
}

// find takes the name of an object apart.
func (c *wholeTodos) find(name string) (at *placeAtWork, inner string) {
	id, inner, ok := strings.Cut(name, ".")
	if !ok {
		return nil, ""
	}
	return c.places.find(id), inner
}

// Put takes what an app says of a to-do, at its place. New ones belong to a place, which
// this list cannot tell.
func (c *wholeTodos) Put(ctx context.Context, app, name string, sent *goical.Calendar, match func(*dav.Object) error) (dav.Taken, error) {
	at, inner := c.find(name)
	if at == nil || !c.has(ctx, name) {
		if err := match(nil); err != nil {
			return dav.Taken{}, err
		}
		return dav.Taken{}, &dav.Refusal{Condition: dav.NeedPrivileges, Why: wording.NewToDoOfOnePlace}
	}
	taken, err := collection{at.handler.publisher}.Put(ctx, app, inner, ical.WithoutPlace(sent, at.name()), c.matching(at, name, match))
	if err != nil {
		return taken, err
	}
	return c.taken(ctx, name, taken)
}

// Delete takes an object away, at its place.
func (c *wholeTodos) Delete(ctx context.Context, app, name string, match func(*dav.Object) error) error {
	at, inner := c.find(name)
	if at == nil {
		return match(nil)
	}
	return collection{at.handler.publisher}.Delete(ctx, app, inner, c.matching(at, name, match))
}

// matching shows the object of a place to what asks for it as this list has it.
func (c *wholeTodos) matching(at *placeAtWork, name string, match func(*dav.Object) error) func(*dav.Object) error {
	return func(o *dav.Object) error {
		if o == nil {
			return match(nil)
		}
		as, err := atPlace(*o, name, at.name())
		if err != nil {
			return err
		}
		return match(&as)
	}
}

func (c *wholeTodos) has(ctx context.Context, name string) bool {
	s, err := c.Snapshot(ctx)
	return err == nil && slices.ContainsFunc(s.Objects, func(o dav.Object) bool { return o.Name == name })
}

// taken answers with the object as this list has it now.
func (c *wholeTodos) taken(ctx context.Context, name string, t dav.Taken) (dav.Taken, error) {
	s, err := c.Snapshot(ctx)
	if err != nil {
		return t, err
	}
	t.AsSent = false
	t.Object = dav.Object{}
	if i := slices.IndexFunc(s.Objects, func(o dav.Object) bool { return o.Name == name }); i >= 0 {
		t.Object = s.Objects[i]
	}
	return t, nil
}
