package web

import (
	"net/http"
	"time"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/locale"
	"limekeep/cmd/limekeep/web/wording"
)

// readerPages let somebody choose how dates and numbers are written.
type readerPages struct{ *handler }

const readerPath = "/dates"

func (h readerPages) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET "+readerPath, h.choose)
	mux.HandleFunc("POST "+readerPath, h.keep)
}

// readerPage is what is chosen, with today and a number as examples.
type readerPage struct {
	Form form.Form
	Kept bool // it was just chosen
}

func readerForm(r *http.Request) form.Form {
	now := locale.For(r)
	decimal := "point"
	if now.Comma {
		decimal = "comma"
	}
	return form.Form{Action: readerPath, Button: wording.WriteThemSo, Fields: []form.Field{
		{Name: "order", Label: wording.Dates, Kind: form.ChoiceInput, Value: string(now.Order), Choices: []form.Choice{
			{Value: string(locale.DayFirst), Label: wording.TheDayFirst}, {Value: string(locale.MonthFirst), Label: wording.TheMonthFirst}, {Value: string(locale.YearFirst), Label: wording.TheYearFirst},
		}},
		{Name: "decimal", Label: wording.Numbers, Kind: form.ChoiceInput, Value: decimal, Choices: []form.Choice{
			{Value: "point", Label: wording.WithADecimalPoint}, {Value: "comma", Label: wording.WithADecimalComma},
		}},
	}}
}

func (h readerPages) choose(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	h.showForm(w, r, http.StatusOK, "dates", page{Title: wording.DatesAndNumbers, Here: readerPath, Place: opened.Info(), Body: readerPage{Form: readerForm(r), Kept: r.URL.Query().Has("kept")}})
}

// keep remembers the choice in this browser alone: another's is its own.
func (h readerPages) keep(w http.ResponseWriter, r *http.Request) {
	filled, err := form.FilledIn(r)
	if err != nil {
		h.failForm(w, r, err)
		return
	}
	value := filled.Get("order") + "." + filled.Get("decimal")
	switch value {
	case "day.point", "day.comma", "month.point", "month.comma", "year.point", "year.comma":
	default:
		h.message(w, r, http.StatusUnprocessableEntity, wording.ThatCannotBeTaken, wording.ChooseOrderAndNumbers)
		return
	}
	http.SetCookie(w, &http.Cookie{Name: locale.Cookie, Value: value, Path: "/", MaxAge: int((400 * 24 * time.Hour).Seconds()), HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: h.client(r).Secure})
	http.Redirect(w, r, readerPath+"?kept", http.StatusSeeOther)
}
