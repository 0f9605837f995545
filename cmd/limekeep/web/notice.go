package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// notice tells of a record that a form has just led to.
type notice struct {
	Line *day.HistoryLine
	Says []string // what follows from it

	Answer *advice.Answer // to it; nil where it is not worked out
}

// Dated reports whether the record is of the day that history has it on. Others say
// which days they are about.
func (n notice) Dated() bool {
	switch n.Line.Kind {
	case record.KindPin, record.KindAway, record.KindGuests, record.KindVoid:
		return false
	}
	return true
}

// noticeOf finds the record that a form has just led to, if it is of one of some
// kinds. The address names only its number, so that a link cannot put words on
// the page.
func (h *handler) noticeOf(r *http.Request, opened *day.Day, kinds ...record.Kind) (*notice, error) {
	id, err := strconv.ParseInt(r.URL.Query().Get("written"), 10, 64)
	if err != nil {
		return nil, nil //nolint:nilerr // an address that names no record has no notice
	}
	line, err := opened.HistoryLine(r.Context(), id)
	if err != nil || line == nil || line.Voided != 0 || !slices.Contains(kinds, line.Kind) {
		return nil, err
	}
	return &notice{Line: line}, nil
}

// seeOther leads from a form that was taken to a page that says so, with pairs
// of name and value to go by.
func seeOther(w http.ResponseWriter, r *http.Request, path string, written int64, pairs ...string) {
	query := url.Values{"written": {strconv.FormatInt(written, 10)}}
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			query.Set(pairs[i], pairs[i+1])
		}
	}
	http.Redirect(w, r, path+"?"+query.Encode(), http.StatusSeeOther)
}
