package web_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule/sample/bound"
)

// Whatever a form holds, the answer is the sender's fault at worst.
func FuzzForms(f *testing.F) {
	paths := []string{"/use/shots", "/use/bag", "/use/meter", "/use/guests", "/use/away", "/use/end", "/plan/block", "/plan/stock", "/history/6/take-back", "/sitting", "/routine", "/setup", "/reader"}
	for i := range paths {
		f.Add(uint8(i), "")
		f.Add(uint8(i), "shots-shots=4&shots-date=2026-03-01&shots-note=x&ticket=y")
		f.Add(uint8(i), "bag-grams=1e308&bag-date=0000-01-01&bag-beans=%00&meter-reading=NaN&meter-date=9999-12-31&meter-new=-0&meter-rolls=1")
		f.Add(uint8(i), "block-from=2026-02-30&block-to=2025-01-01&stock-item=x&stock-number=-1&why=%ff&start=2026-03-01T00:00:00Z&task=a&task=b")
		f.Add(uint8(i), "guests-from=2026-04-01&guests-to=1&guests-shots=1,250&away-from=%E2%80%AE&next=//x&answers=;;;")
	}
	desk, _ := readKitchen(f)
	h := open(desk)
	f.Fuzz(func(t *testing.T, path uint8, form string) {
		defer bound.Memory(t)()
		answered(t, h, paths[int(path)%len(paths)], "application/x-www-form-urlencoded", form)
	})
}

// Whatever a program posts, the answer is the program's fault at worst.
func FuzzPosted(f *testing.F) {
	desk, _ := readKitchen(f)
	h := open(desk)
	paths := postedTo(f, h)
	for i := range paths {
		for _, body := range []string{
			"", "null", "[]", "{}", `{"x":1}`, `{"task":"bench/group-gasket/group","date":"2026-03-01","finding":"worn","grams":1e400}`, `{"shots":4,"date":"2026-03-01","to":"1000-01-01"}`, `{"line":"tap","values":[{"quantity":"hardness","value":18,"unit":"dH","method":"drop"}]}`,
			`{"litres":-1,"rolls_over_litres":0}`, `{"grams":"250"}`, strings.Repeat(`{"a":`, 10_000), `{"note":"\ud800"}`,
		} {
			f.Add(uint8(i), body)
		}
	}
	f.Fuzz(func(t *testing.T, path uint8, body string) {
		defer bound.Memory(t)()
		answered(t, h, paths[int(path)%len(paths)], "application/json", body)
	})
}

// postedTo lists the addresses that programs post to, as the description has them.
func postedTo(t testing.TB, h http.Handler) []string {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, get("/api/v1/openapi.json"))
	var d described
	if err := json.Unmarshal(w.Body.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	var paths []string
	for path, methods := range d.Paths {
		if _, ok := methods["post"]; ok {
			paths = append(paths, strings.NewReplacer("{id}", "bench", "{record}", "6").Replace(path))
		}
	}
	slices.Sort(paths)
	if len(paths) < 3 {
		t.Fatalf("programs post to %v", paths)
	}
	return paths
}

func answered(t *testing.T, h http.Handler, path, kind, body string) {
	t.Helper()
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(body))
	r.Header.Set("Content-Type", kind)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code >= http.StatusInternalServerError {
		t.Errorf("POST %s of %q: status %d\n%s", path, body, w.Code, w.Body)
	}
}
