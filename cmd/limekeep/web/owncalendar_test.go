package web_test

import (
	"bytes"
	"context"
	"errors"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/intake/busycal"
	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/sample"
)

// withFile is a form that brings a file, as a browser sends it.
func withFile(t *testing.T, path string, values url.Values, input, name string, data []byte) *http.Request {
	t.Helper()
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for key := range values {
		if err := w.WriteField(key, values.Get(key)); err != nil {
			t.Fatal(err)
		}
	}
	part, err := w.CreateFormFile(input, name)
	if err == nil {
		_, err = part.Write(data)
	}
	if err = errors.Join(err, w.Close()); err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, path, &b)
	r.Header.Set("Content-Type", w.FormDataContentType())
	return r
}

// busyEvery is a calendar whose owner is busy at an hour of every Saturday.
func busyEvery(hours string) []byte {
	return []byte(strings.ReplaceAll("BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//invented//EN\nBEGIN:VEVENT\nUID:1@example\nDTSTAMP:20260101T000000Z\nSUMMARY:the secret club\nDTSTART;TZID=Europe/Vienna:20260103T"+hours+"\nDURATION:PT4H\nRRULE:FREQ=WEEKLY\nEND:VEVENT\nEND:VCALENDAR\n", "\n", "\r\n"))
}

// ownKitchen is a kitchen whose owner can bring a calendar.
func ownKitchen(t *testing.T, fetch func(context.Context, string) ([]byte, error)) (*sample.Kitchen, *busycal.Kept, http.Handler) {
	t.Helper()
	desk, _ := kitchen(t)
	own := &busycal.Kept{Store: &sample.OwnCalendars{}, Now: func() time.Time { return noon }, Fetch: fetch}
	desk.Busy = own.Busy
	return desk, own, open(desk, func(s *web.Server) { s.OwnCal = own })
}

// A calendar file is brought on a page: what was read is shown, without the names of
// engagements, nothing is planned there, and it can be taken away again.
func TestOwnCalendarIsBrought(t *testing.T) {
	desk, _, h := ownKitchen(t, nil)
	first := desk.Forecast(t, schedule.Moment{}).Plan().Sittings[0].Start
	_, page := ask(t, h, get("/own-calendar"))
	holds(t, page, "None is known yet", `enctype="multipart/form-data"`, `type="file"`)
	values := shownAs(t, h, "/own-calendar", "/own-calendar/file")
	const hostile = `../../<script>x</script>\evil".ics`
	answer, body := ask(t, h, withFile(t, "/own-calendar/file", values, "calendar", hostile, busyEvery("080000")))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("status %d\n%s", answer.StatusCode, body)
	}
	_, page = ask(t, h, get(answer.Header.Get("Location")))
	holds(t, page, `role="status"`, "Busy times up to", "and ", " more", "evil")
	if strings.Contains(page, "<script>x") || strings.Contains(page, "secret club") {
		t.Error("the page shows what it should not")
	}
	for _, s := range desk.Forecast(t, schedule.Moment{}).Plan().Sittings {
		if s.Start.Weekday() == time.Saturday {
			t.Fatalf("a sitting is planned for %s (the first was for %s)", s.Start, first)
		}
	}
	for name, r := range map[string]struct {
		request *http.Request
		status  int
		says    string
	}{
		"no calendar": {withFile(t, "/own-calendar/file", nil, "calendar", "x.ics", []byte("hello")), 422, `id="calendar-problem"`},
		"no file":     {withFile(t, "/own-calendar/file", nil, "calendar", "", nil), 422, "choose one first"},
		"too large":   {withFile(t, "/own-calendar/file", nil, "calendar", "x.ics", make([]byte, busycal.MostBytes+1)), 413, "larger than any"},
		"no form":     {post("/own-calendar/file", url.Values{}), 415, "Nothing was written"},
	} {
		answer, body := ask(t, h, r.request)
		if answer.StatusCode != r.status {
			t.Errorf("%s: status %d", name, answer.StatusCode)
		}
		holds(t, body, r.says)
	}
	_, page = ask(t, h, get("/own-calendar"))
	holds(t, page, "evil") // the one before stands
	keep(t, h, "/own-calendar", "/own-calendar/remove", nil)
	saturdays := 0
	for _, s := range desk.Forecast(t, schedule.Moment{}).Plan().Sittings {
		if s.Start.Weekday() == time.Saturday {
			saturdays++
		}
	}
	if saturdays == 0 {
		t.Error("the plan still takes notice of it")
	}
}

// An address is fetched behind the page, which does not wait; what fails is said on the
// page and on the plan, and the plan goes on.
func TestOwnCalendarIsFetched(t *testing.T) {
	answers := make(chan func() ([]byte, error))
	desk, own, h := ownKitchen(t, func(ctx context.Context, _ string) ([]byte, error) {
		select {
		case give := <-answers:
			return give()
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	})
	values := shownAs(t, h, "/own-calendar", "/own-calendar/address")
	values.Set("address", "https://cal.example/very-secret.ics")
	answer, _ := ask(t, h, post("/own-calendar/address", values))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("status %d", answer.StatusCode)
	}
	_, page := ask(t, h, get(answer.Header.Get("Location")))
	holds(t, page, "It is being fetched", "cal.example")
	if strings.Contains(page, "very-secret") {
		t.Error("the page shows the address")
	}
	if says := desk.Forecast(t, schedule.Moment{}).OwnCalendar(); !strings.Contains(says, "takes no notice") {
		t.Errorf("the plan says %q", says)
	}
	version := func() int64 {
		c, err := own.Store.OwnCalendar(t.Context(), "home")
		if err != nil {
			t.Fatal(err)
		}
		return c.Version
	}
	give := func(text []byte, err error) {
		t.Helper()
		before := version()
		answers <- func() ([]byte, error) { return text, err }
		for version() == before {
			time.Sleep(time.Millisecond)
		}
	}
	give(nil, errors.New("cal.example answered with status 503"))
	_, page = ask(t, h, get("/own-calendar"))
	holds(t, page, "answered with status 503")
	go func() { _, _ = own.Refresh(context.Background(), "home") }()
	give(busyEvery("090000"), nil)
	_, page = ask(t, h, get("/own-calendar"))
	holds(t, page, "Busy times up to")
	if says := desk.Forecast(t, schedule.Moment{}).OwnCalendar(); says != "" {
		t.Errorf("the plan says %q", says)
	}
	for _, bad := range []string{"", "http://cal.example/", "file:///etc/passwd"} {
		answer, body := ask(t, h, post("/own-calendar/address", url.Values{"address": {bad}}))
		if answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%q: status %d", bad, answer.StatusCode)
		}
		holds(t, body, `id="address-problem"`)
	}
}

// Where none can be brought there is nothing to bring it to.
func TestNoOwnCalendar(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	if answer, _ := ask(t, h, withFile(t, "/own-calendar/file", nil, "calendar", "x.ics", busyEvery("080000"))); answer.StatusCode != http.StatusNotFound {
		t.Errorf("status %d", answer.StatusCode)
	}
}
