package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"limekeep/cmd/limekeep/web/api"
	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/gate"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// Owner keeps the password that the pages ask for, and who is signed in.
type Owner interface {
	// HasPassword reports whether there is a password.
	HasPassword(ctx context.Context) (bool, error)

	// Check reports whether a password is the owner's.
	Check(ctx context.Context, password string) (bool, error)

	// Begin signs a browser in, and gives what it is known by this once.
	Begin(ctx context.Context, browser string) (token string, err error)

	// Known reports whether a browser is signed in by what it carries.
	Known(ctx context.Context, token string) (bool, error)

	// End signs a browser out.
	End(ctx context.Context, token string) error

	// Set sets the password and signs every browser out; an empty one takes it away. One
	// that cannot be taken is a *record.FieldError.
	Set(ctx context.Context, password string) error

	// EndAll signs every browser out.
	EndAll(ctx context.Context) error

	// LinkKnown reports whether a link still sets the password.
	LinkKnown(ctx context.Context, secret string) (bool, error)

	// SetByLink sets the password by a link, which is used up. It reports whether the
	// link was good. A password that cannot be taken is a *record.FieldError.
	SetByLink(ctx context.Context, secret, password string) (good bool, err error)
}

// Scopes of the passwords that programs come in with.
const (
	scopeTasks = "tasks"
	scopeFeed  = "feed"
	scopeUse   = "use"
	scopeAll   = "all"
)

const (
	signInPath      = "/sign-in"
	signOutPath     = "/sign-out"
	setPasswordPath = "/set-password/"
)

// signInPages sign browsers in and out, and set the first password.
type signInPages struct{ *handler }

func (h signInPages) routes(mux *http.ServeMux) {
	if h.Owner == nil {
		return
	}
	mux.HandleFunc("GET "+signInPath, h.ask)
	mux.HandleFunc("POST "+signInPath, h.signIn)
	mux.HandleFunc("POST "+signOutPath, h.signOut)
	mux.HandleFunc("GET "+setPasswordPath+"{secret}", h.askFirst)
	mux.HandleFunc("POST "+setPasswordPath+"{secret}", h.setFirst)
}

// signInPage asks for the password.
type signInPage struct {
	Action  string
	Next    string // where it leads; a path of ours
	New     bool   // whether the password is set, and so asked for twice
	Problem string
}

// doorkeeper lets in who may come to the pages of a handler.
type doorkeeper struct{ *handler }

// behindSignIn lets those to the pages who are signed in, or come with a token that
// opens what they ask for. Where no password is set, everybody who reaches the server
// gets in, unless it is to be reached from other computers.
func (h doorkeeper) behindSignIn(pages http.Handler) http.Handler {
	if h.Owner == nil {
		return pages
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if openToAll(r.URL.Path) {
			pages.ServeHTTP(w, r)
			return
		}
		has, err := h.Owner.HasPassword(r.Context())
		if err != nil {
			h.fail(w, r, err)
			return
		}
		if !has && h.MustHavePassword {
			h.message(w, r, http.StatusServiceUnavailable, wording.NoPasswordIsSet, wording.ClosedUntilPasswordIsSet)
			return
		}
		in := !has
		if !in {
			if in, err = h.signedIn(r); err != nil {
				h.fail(w, r, err)
				return
			}
			answeringOf(r.Context()).signedIn = in
		}
		if in && has && !h.letIn(w, r) {
			return
		}
		if !in {
			if in, err = h.hasToken(r); err != nil {
				h.fail(w, r, err)
				return
			}
		}
		if !in {
			h.askToSignIn(w, r)
			return
		}
		pages.ServeHTTP(w, r)
	})
}

// openToAll reports whether a page is for those who are not signed in.
func openToAll(path string) bool {
	return path == signInPath || path == signOutPath || strings.HasPrefix(path, invitedPath+"/") || strings.HasPrefix(path, setPasswordPath) || strings.HasPrefix(path, "/static/")
}

// signedIn reports whether a request comes from a browser that is signed in.
func (h doorkeeper) signedIn(r *http.Request) (bool, error) {
	cookie, err := r.Cookie(h.cookieName(r))
	if err != nil || cookie.Value == "" {
		return false, nil //nolint:nilerr // a browser without the cookie is not signed in
	}
	return h.Owner.Known(r.Context(), cookie.Value)
}

// hasToken reports whether a request carries a token (RFC 6750, 2.1) that opens what it
// asks for.
func (h doorkeeper) hasToken(r *http.Request) (bool, error) {
	token, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	if !ok || h.CheckToken == nil {
		return false, nil
	}
	scope := scopeAll
	if r.Method == http.MethodPost && (strings.HasPrefix(r.URL.Path, usePath+"/") || api.AboutUse(r.URL.Path)) {
		scope = scopeUse
	}
	_, ok, err := h.CheckToken(r.Context(), token, scope)
	if err == nil && !ok {
		// No wait: 125 bits of chance are not guessed, and others may share the address.
		h.log.WarnContext(r.Context(), "a token did not open what was asked for", "address", h.client(r).Address, "scope", scope)
	}
	return ok, err
}

// askToSignIn answers those who are not signed in.
func (h doorkeeper) askToSignIn(w http.ResponseWriter, r *http.Request) {
	switch {
	case strings.HasPrefix(r.URL.Path, "/api/"):
		w.Header().Set("WWW-Authenticate", `Bearer realm="limekeep"`)
		w.Header().Set("Content-Type", "application/json; charset=utf-8")
		w.WriteHeader(http.StatusUnauthorized)
		fmt.Fprintln(w, `{"error":"a token is asked for: Authorization: Bearer TOKEN, made by \"limekeep apps add NAME --scope all\""}`)
	case r.Method == http.MethodGet || r.Method == http.MethodHead:
		http.Redirect(w, r, signInPath+"?"+url.Values{"next": {h.below(r.URL.RequestURI())}}.Encode(), http.StatusSeeOther)
	default:
		w.Header().Set("WWW-Authenticate", `Bearer realm="limekeep"`)
		h.message(w, r, http.StatusUnauthorized, wording.NotSignedIn, wording.SignInThenSend)
	}
}

// ownPath returns a path of ours to lead to; the first page for what is none, so that
// a link cannot lead elsewhere by way of us.
func ownPath(next string) string {
	parsed, err := url.Parse(next)
	if err != nil || parsed.Scheme != "" || parsed.Host != "" || parsed.User != nil || !strings.HasPrefix(next, "/") ||
		strings.HasPrefix(next, "//") || strings.ContainsAny(next, "\\\r\n\t") || openToAll(parsed.Path) {
		return "/"
	}
	return next
}

func (h signInPages) ask(w http.ResponseWriter, r *http.Request) {
	h.showSignIn(w, r, http.StatusOK, signInPage{Action: signInPath, Next: ownPath(r.URL.Query().Get("next"))})
}

func (h signInPages) showSignIn(w http.ResponseWriter, r *http.Request, status int, p signInPage) {
	title := wording.SignIn
	if p.New {
		title = wording.SetThePassword
	}
	h.show(w, r, status, "signin", page{Title: title, Bare: true, Body: p})
}

// signIn takes the password.
func (h signInPages) signIn(w http.ResponseWriter, r *http.Request) {
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	p := signInPage{Action: signInPath, Next: ownPath(filled.Get("next"))}
	address := h.client(r).Address
	keys := []string{gate.AddressKey(address), gate.OwnerKey}
	if wait := h.attempts.Begin(r.Context(), keys...); wait > 0 {
		h.log.WarnContext(r.Context(), "a sign-in was not looked at: too many went wrong", "address", address)
		seconds := int(math.Ceil(wait.Seconds()))
		w.Header().Set("Retry-After", strconv.Itoa(seconds))
		p.Problem = wording.TooManyWrong(seconds)
		h.showSignIn(w, r, http.StatusTooManyRequests, p)
		return
	}
	ok, err := h.Owner.Check(r.Context(), filled.Get("password"))
	if err != nil {
		h.fail(w, r, err)
		return
	}
	if !ok {
		h.log.WarnContext(r.Context(), "a sign-in failed", "address", address)
		p.Problem = wording.WrongPassword
		h.showSignIn(w, r, http.StatusUnprocessableEntity, p)
		return
	}
	h.attempts.Forget(r.Context(), keys...)
	h.log.InfoContext(r.Context(), "somebody signed in", "address", address)
	h.begin(w, r, p.Next)
}

// begin signs the browser in under a name that nobody knew before, and ends what it was
// known by.
func (h signInPages) begin(w http.ResponseWriter, r *http.Request, next string) {
	name := h.cookieName(r)
	if old, err := r.Cookie(name); err == nil {
		if err := h.Owner.End(r.Context(), old.Value); err != nil {
			h.fail(w, r, err)
			return
		}
	}
	token, err := h.Owner.Begin(r.Context(), r.UserAgent())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	http.SetCookie(w, h.cookie(r, token, sessionCookieLasts))
	http.Redirect(w, r, next, http.StatusSeeOther)
}

// sessionCookieLasts is how long a browser keeps the cookie; the store ends sessions by
// itself (assumption).
const sessionCookieLasts = 365 * 24 * time.Hour

// cookie makes the cookie of a session (RFC 6265). Lax and not strict: a link in a
// calendar entry must lead to its page.
func (h *handler) cookie(r *http.Request, token string, lasts time.Duration) *http.Cookie {
	return &http.Cookie{
		Name: h.cookieName(r), Value: token, Path: "/", MaxAge: int(lasts.Seconds()),
		HttpOnly: true, Secure: h.client(r).Secure, SameSite: http.SameSiteLaxMode,
	}
}

// cookieName is the name of the cookie. The prefix, where the connection is encrypted,
// keeps other hosts of the domain from setting it (RFC 6265bis, 4.1.3.2).
func (h *handler) cookieName(r *http.Request) string {
	if h.client(r).Secure {
		return "__Host-limekeep"
	}
	return "limekeep"
}

func (h signInPages) signOut(w http.ResponseWriter, r *http.Request) {
	if cookie, err := r.Cookie(h.cookieName(r)); err == nil {
		if err := h.Owner.End(r.Context(), cookie.Value); err != nil {
			h.fail(w, r, err)
			return
		}
	}
	http.SetCookie(w, h.cookie(r, "", -time.Second))
	http.Redirect(w, r, signInPath, http.StatusSeeOther)
}

// askFirst asks for the first password, for those who have the link.
func (h signInPages) askFirst(w http.ResponseWriter, r *http.Request) {
	known, err := h.Owner.LinkKnown(r.Context(), r.PathValue("secret"))
	switch {
	case err != nil:
		h.fail(w, r, err)
	case !known:
		h.usedUp(w, r)
	default:
		h.showSignIn(w, r, http.StatusOK, signInPage{Action: r.URL.Path, New: true})
	}
}

func (h signInPages) usedUp(w http.ResponseWriter, r *http.Request) {
	h.log.WarnContext(r.Context(), "a link that sets the password was followed that is no good", "address", h.client(r).Address)
	h.message(w, r, http.StatusNotFound, wording.ThisLinkLeadsNowhere, wording.PasswordLinkIsGoodOnce)
}

// setFirst takes the first password.
func (h signInPages) setFirst(w http.ResponseWriter, r *http.Request) {
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	p := signInPage{Action: r.URL.Path, New: true}
	if filled.Get("password") != filled.Get("again") {
		p.Problem = wording.TheTwoPasswordsDiffer
		h.showSignIn(w, r, http.StatusUnprocessableEntity, p)
		return
	}
	good, err := h.Owner.SetByLink(r.Context(), r.PathValue("secret"), filled.Get("password"))
	switch {
	case mistake(err):
		p.Problem = wording.PleaseGive(wanted(err))
		h.showSignIn(w, r, http.StatusUnprocessableEntity, p)
	case err != nil:
		h.fail(w, r, err)
	case !good:
		h.usedUp(w, r)
	default:
		h.log.InfoContext(r.Context(), "the password was set by a link", "address", h.client(r).Address)
		h.begin(w, r, "/")
	}
}

// wanted returns what an error about a field asks for.
func wanted(err error) string {
	var field *record.FieldError
	if errors.As(err, &field) {
		return field.Want
	}
	return err.Error()
}
