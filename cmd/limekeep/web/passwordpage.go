package web

import (
	"crypto/subtle"
	"errors"
	"math"
	"net/http"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/gate"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// passwordPages set, change and take away the password that pages ask for, and sign all
// browsers out.
type passwordPages struct{ *handler }

const passwordPath = settingsPath + "/password"

func (h passwordPages) routes(mux *http.ServeMux) {
	if h.Owner == nil {
		return
	}
	mux.HandleFunc("GET "+passwordPath, h.show)
	mux.HandleFunc("POST "+passwordPath, h.set)
	mux.HandleFunc("POST "+passwordPath+"/sign-out", h.signAllOut)
}

// passwordPage is what can be done about the password.
type passwordPage struct {
	Has      bool
	Problems form.Problems
	Form     form.Form
	Out      form.Form
}

func (h passwordPages) page(r *http.Request) (passwordPage, error) {
	has, err := h.Owner.HasPassword(r.Context())
	p := passwordPage{Has: has, Out: form.Form{Action: passwordPath + "/sign-out", Button: wording.SignEveryBrowserOut, Quiet: true}}
	p.Form = form.Form{Action: passwordPath, Button: wording.SetItAndSignEveryBrowserOut}
	if has {
		p.Form.Fields = append(p.Form.Fields, form.Field{Name: "now", Label: wording.ThePasswordAsItIs, Kind: form.SecretInput, Required: true, About: []string{"now"}})
	}
	p.Form.Fields = append(p.Form.Fields,
		form.Field{Name: "password", Label: wording.NewPassword, Kind: form.SecretInput, New: true, About: []string{"password"}},
		form.Field{Name: "again", Label: wording.OnceMore, Kind: form.SecretInput, New: true, About: []string{"again"}})
	if has && !h.MustHavePassword {
		p.Form.Fields = append(p.Form.Fields, form.Field{Name: "none", Label: wording.AskForNoPassword, Kind: form.BoxInput})
	}
	return p, err
}

func (h passwordPages) show(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	p, err := h.page(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.showPage(w, r, http.StatusOK, opened, p)
}

func (h passwordPages) showPage(w http.ResponseWriter, r *http.Request, status int, opened *day.Day, p passwordPage) {
	p.Problems = p.Form.Problems()
	for f := range p.Form.Inputs() {
		if f.Kind == form.SecretInput {
			f.Value = "" // it is never sent back
		}
	}
	h.handler.show(w, r, status, "password", page{Title: wording.ThePassword, Here: settingsPath, Place: opened.Info(), Body: p})
}

// set takes a new password. Whoever changes one gives the one before, so that a browser
// left open is not enough; wrong ones count as wrong attempts do.
func (h passwordPages) set(w http.ResponseWriter, r *http.Request) {
	filled, opened, ok := h.sent(w, r)
	if !ok {
		return
	}
	p, err := h.page(r)
	if err != nil {
		h.fail(w, r, err)
		return
	}
	s := &p.Form
	s.Fill(filled)
	password := filled.Get("password")
	none := s.Ticked("none")
	switch {
	case none && password != "":
		s.Wrong("password", errors.New(wording.PasswordAndNone))
	case !none && password == "":
		s.Wrong("password", errors.New(wording.NoPasswordGiven))
	case subtle.ConstantTimeCompare([]byte(password), []byte(filled.Get("again"))) == 0:
		s.Wrong("again", errors.New(wording.TheTwoDiffer))
	}
	if p.Has && len(s.Problems()) == 0 {
		if err := h.checkAsItIs(r, filled.Get("now"), s); err != nil {
			h.fail(w, r, err)
			return
		}
	}
	if len(s.Problems()) == 0 {
		err := h.Owner.Set(r.Context(), password)
		var wrong *record.FieldError
		switch {
		case errors.As(err, &wrong):
			s.Wrong("password", errors.New(wording.ToGive(wrong.Want)))
		case err != nil:
			h.fail(w, r, err)
			return
		default:
			h.log.WarnContext(r.Context(), "the password of the pages was changed on a page", "address", h.client(r).Address, "none", none)
			http.Redirect(w, r, "/", http.StatusSeeOther)
			return
		}
	}
	h.showPage(w, r, http.StatusUnprocessableEntity, opened, p)
}

// checkAsItIs sees that somebody knows the password, and makes a problem of it where not.
func (h passwordPages) checkAsItIs(r *http.Request, password string, s *form.Form) error {
	address := h.client(r).Address
	keys := []string{gate.AddressKey(address), gate.OwnerKey}
	if wait := h.attempts.Begin(r.Context(), keys...); wait > 0 {
		s.Wrong("now", errors.New(wording.TooManyWrongSoFar(int(math.Ceil(wait.Seconds())))))
		return nil
	}
	right, err := h.Owner.Check(r.Context(), password)
	switch {
	case err != nil:
		return err
	case !right:
		h.log.WarnContext(r.Context(), "the password of the pages was to be changed by somebody who did not know it", "address", address)
		s.Wrong("now", errors.New(wording.ThatIsNotThePassword))
	default:
		h.attempts.Forget(r.Context(), keys...)
	}
	return nil
}

func (h passwordPages) signAllOut(w http.ResponseWriter, r *http.Request) {
	if _, err := form.FilledIn(r); err != nil {
		h.failForm(w, r, err)
		return
	}
	if err := h.Owner.EndAll(r.Context()); err != nil {
		h.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}
