package form

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"net/url"
	"path"
	"strings"
	"unicode"

	"limekeep/cmd/limekeep/web/wording"
)

// Upload is a file that came with a form.
type Upload struct {
	Name string // as the browser has it, without folders and without what cannot be shown
	Data []byte
}

// Bounds on what comes beside a file.
const (
	mostUploadFields = 40
	mostUploadValue  = 64 << 10
)

// ErrNoFile says that a form came without the file it is for.
var ErrNoFile = errors.New(wording.NoFileCame)

// TooLargeError says that a file is larger than any that is taken.
type TooLargeError struct{ Most int64 } // in bytes

// Error is one line.
func (e *TooLargeError) Error() string { return wording.FileLargerThanAny }

// Uploaded reads a form that brings a file of at most so many bytes. A form like that
// stands in the memory once. The values hold a sum of the file, so that the same form with another
// file is another.
func Uploaded(r *http.Request, most int64) (url.Values, Upload, error) {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || kind != "multipart/form-data" {
		return nil, Upload{}, ErrNotAForm
	}
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, Upload{}, ErrNotAForm
	}
	values, file := url.Values{}, Upload{}
	for n := 0; ; n++ {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil || n > mostUploadFields {
			return nil, Upload{}, notTaken(err, most)
		}
		if part.FileName() == "" && !isFile(part) {
			value, err := io.ReadAll(io.LimitReader(part, mostUploadValue))
			if err != nil {
				return nil, Upload{}, notTaken(err, most)
			}
			values.Set(part.FormName(), string(value))
			continue
		}
		data, err := io.ReadAll(io.LimitReader(part, most+1))
		if err != nil {
			return nil, Upload{}, notTaken(err, most)
		}
		if int64(len(data)) > most {
			return nil, Upload{}, &TooLargeError{most}
		}
		if part.FileName() != "" {
			file = Upload{Name: shownName(part.FileName()), Data: data}
			sum := sha256.Sum256(data)
			values.Set("sum of "+part.FormName(), hex.EncodeToString(sum[:]))
		}
	}
	if file.Name == "" {
		return values, file, ErrNoFile
	}
	return values, file, nil
}

// isFile reports whether a part is the place of a file, though none was chosen.
func isFile(part *multipart.Part) bool {
	_, params, err := mime.ParseMediaType(part.Header.Get("Content-Disposition"))
	_, named := params["filename"]
	return err == nil && named
}

func notTaken(err error, most int64) error {
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return &TooLargeError{most}
	}
	return ErrNotAForm
}

// mostName is how many characters of a file's name are kept.
const mostName = 120

// shownName is a file's name in one line, without the folders that some browsers send.
func shownName(name string) string {
	name = path.Base(strings.ReplaceAll(name, `\`, "/"))
	name = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || !unicode.IsPrint(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(name, "?"))
	if runes := []rune(strings.TrimSpace(name)); len(runes) > mostName {
		return string(runes[:mostName])
	}
	if name = strings.TrimSpace(name); name == "" || name == "." || name == "/" {
		return wording.AFile
	}
	return name
}
