package web_test

import (
	"bytes"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/cmd/limekeep/web/gate"
)

func TestHealthAndMetrics(t *testing.T) {
	desk, records := kitchen(t)
	var log bytes.Buffer
	s := &web.Server{Days: desk.Opener, Journal: desk.Journal, Publisher: desk.Publisher, Secret: sameSecret, AllowedHosts: []string{"care.example"}}
	s.Log = slog.New(gate.WithRequestIDs(slog.NewTextHandler(&log, nil)))
	h := s.Handler()
	if answer, _ := ask(t, h, get("/readyz")); answer.StatusCode != http.StatusServiceUnavailable {
		t.Errorf("ready before there is a plan: %d", answer.StatusCode)
	}
	if err := s.Renew(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/healthz", "/readyz"} {
		if answer, body := ask(t, h, get(path)); answer.StatusCode != http.StatusOK || body != "ok\n" {
			t.Errorf("GET %s: %d %q", path, answer.StatusCode, body)
		}
	}
	inside := get(feed)
	inside.Host = "care.example"
	answer, _ := ask(t, h, inside)
	if answer.StatusCode != http.StatusOK || answer.Header.Get("X-Request-Id") == "" {
		t.Errorf("the calendar: %d, request %q", answer.StatusCode, answer.Header.Get("X-Request-Id"))
	}
	w := httptest.NewRecorder()
	s.MetricsHandler().ServeHTTP(w, get("/metrics"))
	text := w.Body.String()
	holds(t, text, `limekeep_answer_seconds_count{page="/healthz",status="200"} 1`, "limekeep_records_version ", "# TYPE limekeep_answer_seconds histogram", "limekeep_plan_failing 0")
	holds(t, log.String(), "page=/calendar/{secret}/limekeep.ics", "request=")
	for _, where := range []string{text, log.String()} {
		if strings.Contains(where, secret) {
			t.Error("the secret of the calendar is told")
		}
	}
	records.Fails = http.ErrServerClosed
	if answer, body := ask(t, h, get("/readyz")); answer.StatusCode != http.StatusServiceUnavailable || strings.Contains(body, "Server closed") {
		t.Errorf("records that cannot be read: %d %q", answer.StatusCode, body)
	}
}
