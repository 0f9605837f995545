package web

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"time"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// Apps keeps the passwords of task apps. A name that cannot be taken is a
// *record.FieldError, one that stands for nothing matches record.ErrUnknown.
type Apps interface {
	// List returns the apps that have a password, by name.
	List(ctx context.Context) ([]App, error)

	// Add makes a password for an app that opens what its scope says ("tasks", "feed",
	// "use" or "all"), and gives it this once.
	Add(ctx context.Context, name, scope string) (password string, err error)

	// Revoke makes the password of an app worthless.
	Revoke(ctx context.Context, name string) error
}

// App is an app that has a password.
type App struct {
	Name     string       `json:"name"`
	Scope    string       `json:"scope"` // what it opens
	Created  time.Time    `json:"created"`
	LastUsed *record.Date `json:"last_used"` // the day in UTC; nil where it never was
}

// appsSection is what a page shows of task apps.
type appsSection struct {
	List   []App
	Server string        // address to be entered
	User   string        // user name to be entered
	Form   form.Form     // that lets another in
	Made   *madePassword // that was just made
}

// madePassword is shown once.
type madePassword struct {
	App      string
	Password string
	Code     QRCode // of the password and nothing else, to be copied into a phone
	Token    bool   // it is the token of a program, which has no user name
}

// Of says what the code holds, for those who cannot see it.
func (m madePassword) Of() string { return wording.PasswordFor(m.App) }

// addApp takes the form that makes a password. The password is in the answer
// itself, since it is kept nowhere that another page could get it from.
func (h calendarPages) addApp(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	p, err := h.calendarPage(r, opened.Info())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s := &p.Apps.Form
	s.Fill(filled)
	made, err := h.makePassword(r.Context(), s.Text("name"), s.Text("opens"))
	if mistake(err) {
		s.Blame(err)
		h.show(w, r, http.StatusUnprocessableEntity, "calendar", page{Title: wording.PleaseCorrectCalendar, Here: calendarPath, Place: opened.Info(), Body: p})
		return
	}
	if err == nil {
		p.Apps.Made, p.Apps.Form = made, appForm()
		p.Apps.List, err = h.Apps.List(r.Context())
	}
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.show(w, r, http.StatusOK, "calendar", page{Title: wording.PasswordMade, Here: calendarPath, Place: opened.Info(), Body: p})
}

func (h calendarPages) makePassword(ctx context.Context, name, scope string) (*madePassword, error) {
	if scope == "" {
		scope = scopeTasks
	}
	if !slices.ContainsFunc(appScopes, func(c form.Choice) bool { return c.Value == scope }) {
		return nil, &record.FieldError{Field: "opens", Value: scope, Want: wording.OneOfThoseThatCanBeChosen}
	}
	password, err := h.Apps.Add(ctx, name, scope)
	if err != nil {
		return nil, err
	}
	code, err := NewQRCode(password)
	return &madePassword{App: name, Password: password, Code: code, Token: scope != scopeTasks}, err
}

// revokeApp takes the form that revokes a password.
func (h calendarPages) revokeApp(w http.ResponseWriter, r *http.Request) {
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	if err := h.Apps.Revoke(r.Context(), filled.Get("name")); err != nil {
		h.fail(w, r, err)
		return
	}
	http.Redirect(w, r, calendarPath+"?done="+doneRevoked, http.StatusSeeOther)
}

// apps returns the section of task apps; nil where there are none.
func (h calendarPages) apps(ctx context.Context, base *url.URL, place day.PlaceInfo) (*appsSection, error) {
	if h.Apps == nil {
		return nil, nil
	}
	list, err := h.Apps.List(ctx)
	return &appsSection{List: list, Server: TaskServer(base), User: place.Place, Form: appForm()}, err
}

// appForm asks for the name of an app. It needs no token: a name that has a
// password gets no other.
func appForm() form.Form {
	return form.Form{Action: "/apps", Button: wording.MakeAPassword, Fields: []form.Field{
		{Name: "name", Label: wording.Name, Hint: wording.OfTheAppOrItsDevice, Kind: form.LineInput, Most: 60, Required: true, About: []string{"name", "app"}},
		{Name: "opens", Label: wording.WhatItOpens, Kind: form.ChoiceInput, Value: scopeTasks, Choices: appScopes, About: []string{"opens", "scope"}},
	}}
}

// appScopes are what a password can open.
var appScopes = []form.Choice{
	{Value: scopeTasks, Label: wording.TheToDosForATaskApp}, {Value: scopeUse, Label: wording.WritingUseDown},
	{Value: scopeFeed, Label: wording.ReadingTheCalendar}, {Value: scopeAll, Label: wording.AllForAProgramOfYourOwn},
}

// Opens says what a password opens, in words.
func (a App) Opens() string {
	for _, c := range appScopes {
		if c.Value == a.Scope {
			return c.Label
		}
	}
	return a.Scope
}
