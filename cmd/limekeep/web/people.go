package web

import (
	"context"
	"net/http"
	"slices"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/journal"
)

// People keeps who may come in beside the owner.
type People interface {
	// Of returns whose session it is by what a browser carries; nil for the owner's.
	Of(ctx context.Context, token string) (*Person, error)

	// Invited returns whom a link signs in; nil where it leads nowhere, or no longer.
	Invited(ctx context.Context, secret string) (*Person, error)

	// Accept signs a browser in by a link, which is used up, and gives what it is known by
	// this once; false where the link leads nowhere.
	Accept(ctx context.Context, secret, browser string) (token string, ok bool, err error)

	// List lists who was let in or invited, by name.
	List(ctx context.Context) ([]Person, error)

	// Invite lets somebody come in, or changes what as, and gives the secret of a link that
	// signs one browser in as them. What cannot be taken is a *record.FieldError.
	Invite(ctx context.Context, p Person) (secret string, err error)

	// Change changes what somebody is and where they may come to; who is signed in stays so.
	Change(ctx context.Context, p Person) error

	// Remove withdraws what somebody was given, and signs them out.
	Remove(ctx context.Context, name string) error
}

// Person is somebody who came in by an invitation.
type Person struct {
	Name   string
	Role   roles.Role
	Places []string // ids; empty for all
}

// at reports whether the person may come to a place.
func (p *Person) at(place string) bool {
	return len(p.Places) == 0 || slices.Contains(p.Places, place)
}

// personOf returns who sends the request of a context; nil for the owner, or where nobody
// signs in.
func personOf(ctx context.Context) *Person { return answeringOf(ctx).person }

// role returns what who sends the request of a context is.
func role(ctx context.Context) roles.Role {
	if p := personOf(ctx); p != nil {
		return p.Role
	}
	return roles.Owner
}

// letIn reports whether a request may go on to the pages: the owner's always, others' by
// their role and their places. Else it was answered.
func (h doorkeeper) letIn(w http.ResponseWriter, r *http.Request) bool {
	if h.People == nil {
		return true
	}
	cookie, err := r.Cookie(h.cookieName(r))
	if err != nil {
		return true // it came by a token
	}
	p, err := h.People.Of(r.Context(), cookie.Value)
	if err != nil {
		h.fail(w, r, err)
		return false
	}
	if p == nil {
		return true
	}
	answeringOf(r.Context()).person = p
	there := h.All || p.at(h.Place)
	if there && roles.May(p.Role, r.Method, r.URL.Path) {
		return true
	}
	h.log.WarnContext(r.Context(), "somebody asked for what is not theirs", "person", p.Name, "role", string(p.Role), "address", h.client(r).Address)
	text := wording.NotOpenTo(string(p.Role))
	if !there {
		text = wording.InvitedElsewhere
	}
	h.message(w, r, http.StatusForbidden, wording.NotForYou, text)
	return false
}

// journalOf returns the journal for what a request writes down, with the name of who sent
// it.
func (h *handler) journalOf(ctx context.Context) *journal.Journal {
	if source := sourceOf(ctx, h.Journal.Source); source != h.Journal.Source {
		return h.Journal.From(source)
	}
	return h.Journal
}

// sourceOf is a door that something was written down by, with the name of who did it where
// it was not the owner.
func sourceOf(ctx context.Context, door string) string {
	if p := personOf(ctx); p != nil {
		return door + ": " + p.Name
	}
	return door
}

// invitedPages sign in who was invited.
type invitedPages struct {
	*handler
	names func(context.Context) ([]placeName, error) // of the places there are
}

func (h invitedPages) routes(mux *http.ServeMux) {
	if h.People == nil {
		return
	}
	mux.HandleFunc("GET "+invitedPath+"/{secret}", h.ask)
	mux.HandleFunc("POST "+invitedPath+"/{secret}", h.accept)
}

// invitedPage asks whether somebody will come in.
type invitedPage struct {
	Person
	At   []string // names of the places; none for all of them
	Form form.Form
}

// ask shows what the invitation is to. Looking uses nothing up: programs look at links
// before people do.
func (h invitedPages) ask(w http.ResponseWriter, r *http.Request) {
	p, err := h.People.Invited(r.Context(), r.PathValue("secret"))
	switch {
	case err != nil:
		h.fail(w, r, err)
	case p == nil:
		h.nowhere(w, r)
	default:
		places, err := h.names(r.Context())
		if err != nil {
			h.fail(w, r, err)
			return
		}
		h.show(w, r, http.StatusOK, "invited", page{Title: wording.YouAreInvited, Bare: true, Body: invitedPage{*p, namesAmong(places, p.Places), form.Form{Action: r.URL.Path, Button: wording.ComeInOnThisDevice}}})
	}
}

func (h invitedPages) nowhere(w http.ResponseWriter, r *http.Request) {
	h.log.WarnContext(r.Context(), "an invitation was followed that is no good", "address", h.client(r).Address)
	h.message(w, r, http.StatusNotFound, wording.ThisInvitationLeadsNowhere, wording.InvitationIsGoodOnce)
}

func (h invitedPages) accept(w http.ResponseWriter, r *http.Request) {
	token, ok, err := h.People.Accept(r.Context(), r.PathValue("secret"), r.UserAgent())
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !ok:
		h.nowhere(w, r)
	default:
		http.SetCookie(w, h.cookie(r, token, sessionCookieLasts))
		http.Redirect(w, r, "/", http.StatusSeeOther)
	}
}
