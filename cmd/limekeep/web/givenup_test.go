package web_test

import (
	"bytes"
	"context"
	"net/http"
	"regexp"
	"strings"
	"testing"
)

// A client that leaves before it is answered is no error of ours: none is logged, and the
// status says so.
func TestWhoLeavesIsNoError(t *testing.T) {
	var log bytes.Buffer
	desk, _ := readKitchen(t)
	h := open(desk, logged(&log))
	gone, leave := context.WithCancel(t.Context())
	leave()
	for _, path := range []string{"/history", "/history.csv", "/use", "/tasks/bench/descale/steam"} {
		answer, body := ask(t, h, get(path).WithContext(gone))
		if answer.StatusCode >= http.StatusInternalServerError && answer.StatusCode != http.StatusServiceUnavailable {
			t.Errorf("GET %s: status %d\n%s", path, answer.StatusCode, body)
		}
	}
	if strings.Contains(log.String(), "ERROR") {
		t.Errorf("logged: %s", log.String())
	}
}

// A body that is no JSON is told of in our words, and not sent back whole.
func TestBrokenJSONIsToldInOurWords(t *testing.T) {
	desk, _ := kitchen(t)
	h := open(desk)
	theirs := regexp.MustCompile(`unexpected|invalid character|unmarshal|max depth|json:`)
	for _, body := range []string{`{"a":`, `nothing`, strings.Repeat("[", 60_000), `{"task": 7`, `"` + strings.Repeat("x", 50_000) + `"`} {
		answer, told := ask(t, h, postJSON("/api/v1/services", body))
		if answer.StatusCode < 400 || answer.StatusCode >= 500 || theirs.MatchString(told) || len(told) > 4000 {
			t.Errorf("%.20s: status %d, %d bytes: %.300s", body, answer.StatusCode, len(told), told)
		}
	}
}
