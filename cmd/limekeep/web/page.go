package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"limekeep/cmd/limekeep/web/locale"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/say/customary"
	"limekeep/water/figure"
)

// page is what the frame around every page shows.
type page struct {
	Title string
	Here  string        // path of the entry in the menu that is marked
	Place day.PlaceInfo // zero where the place is not known
	Body  any           // what the page itself shows
	Older bool          // whether it is from before what was written down last
	Bare  bool          // whether it stands without the menu, for those who are not signed in
	Out   bool          // whether there is something to sign out of
	Whole bool          // whether it is about all places
	Guest bool          // whether it is shown to somebody else than the owner
	Reads bool          // whether it is shown to somebody who writes nothing
	Role  roles.Role    // of who it is shown to
	Among bool          // whether its place is one of several
}

// pages holds one template for each page, by name.
type pages map[string]*template.Template

//go:embed templates/*.html
var templateFiles embed.FS

// parsePages reads the templates, once for all servers of the program. They are part of
// it, so one that cannot be read is a mistake of its makers.
var parsePages = sync.OnceValue(func() pages {
	frame := template.New("layout.html").Funcs(template.FuncMap{
		"long": long, "short": short, "clock": clock, "share": share, "bar": bar,
		"month": month, "sittingid": sittingID, "hour": hour, "menu": menuOf, "more": moreOf,
		"kind": kindOf, "percent": figure.Percent, "figure": figure.AtMost, "signed": signed, "left": left, "own": say.OwnName, "upper": say.UpperFirst,
	})
	for _, name := range sharedTemplates {
		template.Must(frame.ParseFS(templateFiles, "templates/"+name+".html"))
	}
	all := pages{}
	for _, name := range pageNames() {
		all[name] = template.Must(template.Must(frame.Clone()).ParseFS(templateFiles, "templates/"+name+".html"))
	}
	return all
})

// sharedTemplates are what pages are made of beside their own.
var sharedTemplates = []string{"layout", "partials", "picture", "form", "notice"}

// pageNames lists the pages by their templates.
func pageNames() []string {
	files, err := templateFiles.ReadDir("templates")
	if err != nil {
		panic(err) // they are part of the program
	}
	var names []string
	for _, file := range files {
		name := strings.TrimSuffix(file.Name(), ".html")
		if !slices.Contains(sharedTemplates, name) {
			names = append(names, name)
		}
	}
	return names
}

// show writes a page. It is put together first and sent afterwards, so that a
// mistake in a template cannot leave half a page behind a good status.
func (h *handler) show(w http.ResponseWriter, r *http.Request, status int, name string, p page) {
	p.Among, p.Role = h.Under != "", role(r.Context())
	p.Guest, p.Reads = role(r.Context()) != roles.Owner, role(r.Context()) == roles.Reader
	p.Older, p.Out = answeringOf(r.Context()).older, answeringOf(r.Context()).signedIn
	var b bytes.Buffer
	if err := h.pages[name].Execute(&b, p); err != nil {
		h.log.ErrorContext(r.Context(), "a page could not be put together", "page", r.Pattern, "error", err)
		http.Error(w, wording.PageNotShown, http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	to := locale.For(r)
	to.Units = customary.In(p.Place.Units, p.Place.Hardness)
	w.Write(h.putBelow(to.Rewrite(b.Bytes())))
}

// showForm writes a page that holds a form, and lets the browser keep it, token and
// all, for its Back button: a history may show what it has kept without asking (RFC
// 9111, section 6). Otherwise it would fetch the page anew, put what was filled in
// beside another token, and the form sent again would be taken twice. An ordinary
// visit asks each time (section 5.2.2.4).
func (h *handler) showForm(w http.ResponseWriter, r *http.Request, status int, name string, p page) {
	w.Header().Set("Cache-Control", "private, no-cache")
	h.show(w, r, status, name, p)
}

// message shows a page of a few words.
func (h *handler) message(w http.ResponseWriter, r *http.Request, status int, title, text string) {
	h.show(w, r, status, "message", page{Title: title, Body: text})
}

// long writes a date for people with its exact form for machines.
func long(v any) (template.HTML, error) {
	var date record.Date
	switch v := v.(type) {
	case record.Date:
		date = v
	case *record.Date:
		date = *v
	default:
		return "", fmt.Errorf("a %T is not a date", v)
	}
	return template.HTML(fmt.Sprintf(`<time datetime="%s">%s</time>`, date, date.Long())), nil
}

// short writes a date without its weekday, for narrow columns.
func short(d record.Date) template.HTML {
	_, text, _ := strings.Cut(d.Long(), " ")
	return template.HTML(fmt.Sprintf(`<time datetime="%s">%s</time>`, d, text))
}

// hour writes an instant of today the way the clock at the place shows it.
func hour(t time.Time, zone *time.Location) template.HTML {
	t = t.In(zone)
	return template.HTML(fmt.Sprintf(`<time datetime="%s">%s</time>`, t.Format(time.RFC3339), t.Format("15:04")))
}

// month writes the month of a day.
func month(d record.Date) string { return d.In(time.UTC).Format("January 2006") }

// clock writes an instant the way the clock at the place shows it.
func clock(t time.Time, zone *time.Location) template.HTML {
	t = t.In(zone)
	return template.HTML(fmt.Sprintf(`<time datetime="%s">%s</time>`, t.Format(time.RFC3339), t.Format("Mon 2 Jan 2006, 15:04")))
}

// share writes a gauge's reading in words.
func share(reading float64) string {
	if reading < 9.995 {
		return wording.PercentOfItsLimit(100 * reading)
	}
	return wording.TimesItsLimit(reading)
}

// left writes what is left of something before its limit.
func left(reading float64) string { return figure.Percent(max(1-reading, 0)) }

// signed writes a departure from a reference.
func signed(x float64) string {
	text := figure.AtMost(x, 2)
	if x > 0 && text != "0" {
		return "+" + text
	}
	return strings.Replace(text, "-", "−", 1)
}

// barMost is the reading at which a bar is full: the limit stands at two thirds.
const barMost = 1.5

// bar returns the length of a gauge's bar, 100 at its limit and 150 at most.
func bar(reading float64) string {
	if math.IsNaN(reading) {
		reading = 0
	}
	return fmt.Sprintf("%.1f", 100*min(max(reading, 0), barMost))
}

// kindOf reports whether the body of the set-up page is of a kind.
func kindOf(body any, kind string) bool {
	switch body.(type) {
	case questionPage:
		return kind == "question"
	case reviewPage:
		return kind == "review"
	}
	return false
}
