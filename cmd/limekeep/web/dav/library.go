package dav

import (
	"bytes"
	"context"
	"errors"
	"net/http"

	"github.com/emersion/go-ical"
	"github.com/emersion/go-webdav/caldav"
)

// adapter lets the library store into a collection and delete from it. Nothing
// else reaches it, so the other methods of its backend are not there.
type adapter struct {
	caldav.Backend
	collection Collection
}

// call is what the library does not carry: what was asked for, and what came of
// it. It travels in the request's context.
type call struct {
	app, name string
	match     func(*Object) error

	uid   string // of what is stored
	taken Taken
	err   error
}

type callKey struct{}

func callOf(ctx context.Context) (*call, error) {
	if c, ok := ctx.Value(callKey{}).(*call); ok {
		return c, nil
	}
	return nil, errors.New("the library passed on a request that is not of this server")
}

// PutCalendarObject stores an object. The library's options hold one tag at
// most; conditions.go reads the headers themselves.
func (a adapter) PutCalendarObject(ctx context.Context, _ string, sent *ical.Calendar, _ *caldav.PutCalendarObjectOptions) (*caldav.CalendarObject, error) {
	c, err := callOf(ctx)
	if err != nil {
		return nil, err
	}
	c.taken, c.err = a.collection.Put(ctx, c.app, c.name, sent, c.match)
	if c.err != nil {
		return nil, c.err
	}
	stored := &caldav.CalendarObject{}
	if c.taken.AsSent {
		stored.ETag = c.taken.Object.ETag
		stored.ModTime = c.taken.Object.Modified
	}
	return stored, nil
}

// DeleteCalendarObject takes an object away.
func (a adapter) DeleteCalendarObject(ctx context.Context, _ string) error {
	c, err := callOf(ctx)
	if err != nil {
		return err
	}
	c.err = a.collection.Delete(ctx, c.app, c.name, c.match)
	return c.err
}

// through passes a request on to the library. Where the collection had an
// error, that is what is given back, since the library's answer to errors loses
// the headers; else the answer is the library's.
func (d *door) through(r *http.Request, c *call) (*answer, error) {
	a := &answer{header: http.Header{}}
	d.library.ServeHTTP(a, r.WithContext(context.WithValue(r.Context(), callKey{}, c)))
	return a, c.err
}

// answer keeps what the library answers until it is known to be right.
type answer struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (a *answer) Header() http.Header { return a.header }

func (a *answer) WriteHeader(status int) {
	if a.status == 0 {
		a.status = status
	}
}

func (a *answer) Write(b []byte) (int, error) {
	a.WriteHeader(http.StatusOK)
	return a.body.Write(b)
}

// send sends the answer on.
func (a *answer) send(w http.ResponseWriter) {
	for name, values := range a.header {
		w.Header()[name] = values
	}
	w.WriteHeader(a.status)
	_, _ = w.Write(a.body.Bytes()) // an app that hung up needs no answer
}
