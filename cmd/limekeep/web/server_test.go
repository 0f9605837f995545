package web_test

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule/sample"
)

// secret is the one in the calendar's address of every test.
const secret = "ap-3vq9-secret"

// open returns a server over a desk and its handler.
func open(desk *sample.Kitchen, change ...func(*web.Server)) http.Handler {
	s := &web.Server{Days: desk.Opener, Journal: desk.Journal, Publisher: desk.Publisher, Secret: func(context.Context) (string, error) { return secret, nil }}
	for _, f := range change {
		f(s)
	}
	return s.Handler()
}

// logged returns a change that has a server log into b.
func logged(b *bytes.Buffer) func(*web.Server) {
	return func(s *web.Server) { s.Log = slog.New(slog.NewTextHandler(b, nil)) }
}

// ask sends one request and gives the answer with its body read.
func ask(t *testing.T, h http.Handler, r *http.Request) (*http.Response, string) {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	answer := w.Result()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer, string(body)
}

// get makes a request for a path, with pairs of header and value.
func get(path string, headers ...string) *http.Request {
	return request(http.MethodGet, path, "", headers...)
}

// post makes a request that sends a filled-in form.
func post(path string, form url.Values, headers ...string) *http.Request {
	return request(http.MethodPost, path, form.Encode(), append([]string{"Content-Type", "application/x-www-form-urlencoded"}, headers...)...)
}

func request(method, path, body string, headers ...string) *http.Request {
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return r
}

// holds checks that a page holds each of some texts.
func holds(t *testing.T, body string, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if !strings.Contains(body, text) {
			t.Errorf("the page does not hold %q", text)
		}
	}
}
