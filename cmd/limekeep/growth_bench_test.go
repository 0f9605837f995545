package main

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/ical"
	"limekeep/schedule/record"
)

// growthRows is how many shots the smallest log has: a bar's of seventeen days.
const growthRows = 10_000

// BenchmarkGrowth takes in logs of 1, 10 and 100 times as many shots, and asks of each
// place what is due, for the plan, the calendar and the page Now. .ci/growth fits by what
// power of the records each grows.
func BenchmarkGrowth(b *testing.B) {
	for _, times := range []int{1, 10, 100} {
		path := writeShotLog(b, times*growthRows)
		named := func(what string) string { return fmt.Sprintf("%s/%d", what, times) }
		b.Run(named("import"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				b.StopTimer()
				h := benchHouse(b)
				b.StartTimer()
				importLog(b, h, path)
			}
		})
		h := benchHouse(b)
		importLog(b, h, path)
		asked := 0
		foresee := func(b *testing.B) *day.Forecast {
			asked++ // one day after the other, so that none is remembered but its water
			d, err := h.days.Open(b.Context(), schedule.Moment{Today: benchToday + record.Date(asked%2)})
			if err != nil {
				b.Fatal(err)
			}
			f, err := d.Forecast(b.Context())
			if err != nil {
				b.Fatal(err)
			}
			return f
		}
		foresee(b) // works the water out
		for what, ask := range map[string]func(*day.Forecast) error{
			"due": func(f *day.Forecast) error {
				if len(f.Due()) == 0 {
					return fmt.Errorf("nothing is due")
				}
				return nil
			},
			"plan": func(f *day.Forecast) error {
				if len(f.Plan().Sittings) == 0 {
					return fmt.Errorf("nothing is planned")
				}
				return nil
			},
			"calendar": func(f *day.Forecast) error { return ical.Encode(io.Discard, agenda.Of(f, false)) },
		} {
			b.Run(named(what), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if err := ask(foresee(b)); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
		pages := (&web.Server{Days: h.days, Journal: h.journal, Publisher: h.publisher, Today: benchToday}).Handler()
		now := func(b *testing.B) {
			w := httptest.NewRecorder()
			r := httptest.NewRequest(http.MethodGet, "http://127.0.0.1/", nil)
			if pages.ServeHTTP(w, r); w.Code != http.StatusOK {
				b.Fatalf("status %d: %s", w.Code, w.Body)
			}
		}
		now(b) // works the forecast out
		b.Run(named("Now"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				now(b)
			}
		})
	}
}
