package form

import (
	"errors"
	"mime"
	"net/http"
	"net/url"
	"strings"

	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

// ErrNotAForm says that a body was sent as something else than a form. To read
// it as an empty form would write down what nobody filled in.
var ErrNotAForm = errors.New(wording.SendAsAForm)

// FilledIn returns the form in a request's body; what stands in the address is not
// looked at. The error is ErrNotAForm, or an *http.MaxBytesError where it is too large.
func FilledIn(r *http.Request) (url.Values, error) {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "application/x-www-form-urlencoded" {
		return nil, ErrNotAForm
	}
	if err := r.ParseForm(); err != nil {
		var tooLarge *http.MaxBytesError
		if errors.As(err, &tooLarge) {
			return nil, err
		}
		return nil, ErrNotAForm
	}
	return r.PostForm, nil
}

// DateIn returns the day that somebody typed; blank is 0, which leaves it to the
// journal, which takes today.
func DateIn(text string) (record.Date, error) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, nil
	}
	return record.ParseDate(text)
}

// NumberIn returns the number that somebody typed into a field; blank is 0. The error
// names the field.
func NumberIn(field, text string) (float64, error) {
	if text = strings.TrimSpace(text); text == "" {
		return 0, nil
	}
	return record.Number(field, text, wording.ANumberWithAPoint)
}

// NoteIn returns a note of several lines, sent the way browsers do.
func NoteIn(text string) string {
	return strings.TrimSpace(strings.ReplaceAll(text, "\r\n", "\n"))
}
