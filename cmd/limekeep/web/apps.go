package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Apps keeps the passwords of task apps. A name that cannot be taken is a
// *record.FieldError, one that stands for nothing matches record.ErrUnknown.
type Apps interface {
	// List gives the apps that have a password, by name.
	List(ctx context.Context) ([]App, error)

	// Add makes a password for an app, and gives it this once.
	Add(ctx context.Context, name string) (password string, err error)

	// Revoke makes the password of an app worthless.
	Revoke(ctx context.Context, name string) error
}

// App is an app that has a password.
type App struct {
	Name     string       `json:"name"`
	Created  time.Time    `json:"created"`
	LastUsed *record.Date `json:"last_used"` // the day in UTC; nil where it never was
}

// appsSection is what a page shows of task apps.
type appsSection struct {
	List     []App
	Server   string // address to be entered
	User     string // user name to be entered
	Name     string // as filled in
	Problems problems
	Made     *madePassword // that was just made
}

// madePassword is shown once.
type madePassword struct {
	App      string
	Password string
	Code     QRCode // of the password and nothing else, to be copied into a phone
}

// Of says what the code holds, for those who cannot see it.
func (m madePassword) Of() string { return "the password for " + m.App }

// addApp takes the form that makes a password. The password is in the answer
// itself, since it is kept nowhere that another page could get it from.
func (d *door) addApp(w http.ResponseWriter, r *http.Request) {
	filled, err := filledIn(r)
	if err != nil {
		d.failForm(w, r, err)
		return
	}
	p, place, err := d.calendarPage(r)
	if err != nil {
		d.fail(w, r, err)
		return
	}
	name := strings.TrimSpace(filled.Get("name"))
	made, err := d.makePassword(r.Context(), name)
	if mistake(err) {
		p.Apps.Name, p.Apps.Problems = name, problems{"name": err.Error()}
		d.show(w, r, http.StatusUnprocessableEntity, "calendar", page{Title: "Please correct: calendar", Here: calendarPath, Place: place, Body: p})
		return
	}
	if err == nil {
		p.Apps.Made = made
		p.Apps.List, err = d.Apps.List(r.Context())
	}
	if err != nil {
		d.fail(w, r, err)
		return
	}
	d.show(w, r, http.StatusOK, "calendar", page{Title: "Password made", Here: calendarPath, Place: place, Body: p})
}

func (d *door) makePassword(ctx context.Context, name string) (*madePassword, error) {
	password, err := d.Apps.Add(ctx, name)
	if err != nil {
		return nil, err
	}
	code, err := NewQRCode(password)
	return &madePassword{App: name, Password: password, Code: code}, err
}

// revokeApp takes the form that revokes a password.
func (d *door) revokeApp(w http.ResponseWriter, r *http.Request) {
	filled, err := filledIn(r)
	if err != nil {
		d.failForm(w, r, err)
		return
	}
	if err := d.Apps.Revoke(r.Context(), filled.Get("name")); err != nil {
		d.fail(w, r, err)
		return
	}
	http.Redirect(w, r, calendarPath+"?done="+doneRevoked, http.StatusSeeOther)
}

// apps gives the section of task apps; nil where there are none.
func (d *door) apps(ctx context.Context, base *url.URL, place day.PlaceInfo) (*appsSection, error) {
	if d.Apps == nil {
		return nil, nil
	}
	list, err := d.Apps.List(ctx)
	return &appsSection{List: list, Server: TaskServer(base), User: place.Place}, err
}
