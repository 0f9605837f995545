package dav

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/emersion/go-ical"
)

// RFC 4791, 5.3.2: what can be stored, and by which condition what cannot is
// refused. Nothing changes where it is.
func TestPutContent(t *testing.T) {
	const c = nsCalDAV + " "
	event := "BEGIN:VEVENT\r\nUID:1\r\nDTSTAMP:20260301T120000Z\r\nDTSTART:20260301T120000Z\r\nEND:VEVENT"
	todo := "BEGIN:VTODO\r\nUID:1\r\nDTSTAMP:20260301T120000Z\r\nEND:VTODO"
	tests := []struct {
		name, body, media string
		want              int
		condition         string
	}{
		{"a to-do", vtodo("1", "SUMMARY:Käse ☕"), "text/calendar; charset=utf-8", http.StatusCreated, ""},
		{"without a media type", vtodo("1"), "", http.StatusCreated, ""},
		{"component in the media type", vtodo("1"), "text/calendar;component=vtodo", http.StatusCreated, ""},
		{"line feeds alone", strings.ReplaceAll(vtodo("1"), "\r\n", "\n"), "text/calendar", http.StatusCreated, ""},
		{"no end to the last line", strings.TrimSuffix(vtodo("1"), "\r\n"), "text/calendar", http.StatusCreated, ""},
		{"small letters", "begin:vcalendar\r\nversion:2.0\r\nprodid:x\r\nbegin:vtodo\r\nuid:1\r\ndtstamp:20260301T120000Z\r\nend:vtodo\r\nend:vcalendar\r\n", "text/calendar", http.StatusCreated, ""},
		{"a changed occurrence with its to-do", vcalendar(todo, "BEGIN:VTODO\r\nUID:1\r\nDTSTAMP:20260301T120000Z\r\nRECURRENCE-ID:20260301T120000Z\r\nEND:VTODO"), "text/calendar", http.StatusCreated, ""},
		{"a component of an app's own", vcalendar(todo, "BEGIN:X-APP\r\nX-A:1\r\nEND:X-APP"), "text/calendar", http.StatusCreated, ""},
		{"JSON", "{}", "application/json", http.StatusForbidden, c + "supported-calendar-data"},
		{"another character set", vtodo("1"), "text/calendar; charset=iso-8859-1", http.StatusForbidden, c + "supported-calendar-data"},
		{"a broken media type", vtodo("1"), "text/", http.StatusForbidden, c + "supported-calendar-data"},
		{"vCalendar 1.0", strings.Replace(vtodo("1"), "VERSION:2.0", "VERSION:1.0", 1), "text/calendar", http.StatusForbidden, c + "supported-calendar-data"},
		{"nothing", "", "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"no calendar", "hello", "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"cut off", strings.TrimSuffix(vtodo("1"), "END:VCALENDAR\r\n"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"two calendars", vtodo("1") + vtodo("2"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"crossed ends", "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VTODO\r\nEND:VCALENDAR\r\nEND:VTODO\r\n", "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"not UTF-8", vtodo("1", "SUMMARY:\xff"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"a control character", vtodo("1", "SUMMARY:a\x00b"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"a carriage return in a text", vtodo("1", "SUMMARY:a\rb"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"a line that ends in a parameter", vtodo("1", "SUMMARY;X=1"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"parameters without end", vtodo("1", "SUMMARY;X="+strings.Repeat("y", 3000)+":z"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"components in components", vcalendar(strings.Repeat("BEGIN:VTODO\r\n", 5000)), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"no DTSTAMP", vcalendar("BEGIN:VTODO\r\nUID:1\r\nEND:VTODO"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"two summaries", vtodo("1", "SUMMARY:a", "SUMMARY:b"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"due and lasting", vtodo("1", "DTSTART:20260301T120000Z", "DUE:20260301T120000Z", "DURATION:PT1H"), "text/calendar", http.StatusForbidden, c + "valid-calendar-data"},
		{"a method", vcalendar("METHOD:PUBLISH", todo), "text/calendar", http.StatusForbidden, c + "valid-calendar-object-resource"},
		{"no UID", vcalendar("BEGIN:VTODO\r\nDTSTAMP:20260301T120000Z\r\nEND:VTODO"), "text/calendar", http.StatusForbidden, c + "valid-calendar-object-resource"},
		{"two UIDs", vcalendar(todo, strings.Replace(todo, "UID:1", "UID:2", 1)), "text/calendar", http.StatusForbidden, c + "valid-calendar-object-resource"},
		{"twice the same", vcalendar(todo, todo), "text/calendar", http.StatusForbidden, c + "valid-calendar-object-resource"},
		{"an event", vcalendar(event), "text/calendar", http.StatusForbidden, c + "supported-calendar-component"},
		{"a to-do and an event", vcalendar(todo, event), "text/calendar", http.StatusForbidden, c + "supported-calendar-component"},
		{"a time zone alone", viennaZone, "text/calendar", http.StatusForbidden, c + "supported-calendar-component"},
		{"too large", vtodo("1", "DESCRIPTION:"+strings.Repeat("x", mostObjectBytes)), "text/calendar", http.StatusForbidden, c + "max-resource-size"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := newKit(t)
			before := k.memory.snapshot
			headers := []string{"Content-Type", test.media}
			if test.media == "" {
				headers = nil
			}
			w := k.expect(test.want, "PUT", atCollection+"a.ics", test.body, headers...)
			if test.condition == "" {
				if got := k.memory.find("a.ics"); got == nil || k.memory.app != "phone" {
					t.Errorf("stored %v by %q", got, k.memory.app)
				}
				return
			}
			if got := k.condition(w); got != test.condition {
				t.Errorf("condition %q, want %q:\n%s", got, test.condition, w.Body)
			}
			if k.memory.snapshot != before {
				t.Error("something was stored")
			}
		})
	}
}

// Statuses and tags of stores: 201 where there was nothing (RFC 9110, 9.3.4), a
// tag only where what is stored is what was sent (RFC 4791, 5.3.4).
func TestPutAnswers(t *testing.T) {
	k := newKit(t)
	first := k.expect(http.StatusCreated, "PUT", atCollection+"a.ics", vtodo("1", "SUMMARY:a"), "Content-Type", "text/calendar")
	if got, want := first.Header().Get("ETag"), `"`+k.memory.find("a.ics").ETag+`"`; got != want {
		t.Errorf("tag %s, want %s", got, want)
	}
	second := k.expect(http.StatusNoContent, "PUT", atCollection+"a.ics", vtodo("1", "SUMMARY:b"), "Content-Type", "text/calendar")
	if second.Header().Get("ETag") == first.Header().Get("ETag") {
		t.Error("another content has the same tag")
	}
	k.memory.tidy = func(cal *ical.Calendar) { cal.Children[0].Props.SetText(ical.PropSummary, "c") }
	third := k.expect(http.StatusNoContent, "PUT", atCollection+"a.ics", vtodo("1", "SUMMARY:b"), "Content-Type", "text/calendar")
	if third.Header().Get("ETag") != "" || third.Header().Get("Last-Modified") != "" {
		t.Errorf("an object that is not what was sent came with %v", third.Header())
	}
}

// What the collection refuses comes with its own condition, and with what the
// condition's element has to say (RFC 4791, 5.3.2.1; RFC 3744, 7.1.1).
func TestCollectionRefuses(t *testing.T) {
	k := newKit(t)
	k.memory.keep(t, "a.ics", vtodo("1"))
	before := k.memory.snapshot

	w := k.expect(http.StatusConflict, "PUT", atCollection+"b.ics", vtodo("1"), "Content-Type", "text/calendar")
	if k.condition(w) != string(NoUIDConflict) || !strings.Contains(w.Body.String(), "<C:no-uid-conflict><D:href>"+atCollection+"a.ics</D:href></C:no-uid-conflict>") {
		t.Errorf("the UID's object is not named:\n%s", w.Body)
	}
	k.memory.refuse = func(string, *ical.Calendar) error {
		return fmt.Errorf("to be wrapped: %w", &Refusal{NeedPrivileges, "Only <ticking off> & dating is for apps."})
	}
	for method, want := range map[string]string{
		"PUT":    "<D:href>" + atCollection + "a.ics</D:href><D:privilege><D:write-content/>",
		"DELETE": "<D:href>" + atCollection + "</D:href><D:privilege><D:unbind/>",
	} {
		w := k.expect(http.StatusForbidden, method, atCollection+"a.ics", vtodo("1"), "Content-Type", "text/calendar")
		if k.condition(w) != "DAV: need-privileges" || !strings.Contains(w.Body.String(), want) || !strings.Contains(w.Body.String(), "&lt;ticking off&gt; &amp; dating") {
			t.Errorf("%s:\n%s", method, w.Body)
		}
	}
	k.memory.refuse = nil
	k.memory.snapshot.MayAdd = false
	w = k.expect(http.StatusForbidden, "PUT", atCollection+"b.ics", vtodo("2"), "Content-Type", "text/calendar")
	if !strings.Contains(w.Body.String(), "<D:href>"+atCollection+"</D:href><D:privilege><D:bind/>") {
		t.Errorf("adding:\n%s", w.Body)
	}
	if k.memory.snapshot != before {
		t.Error("something was changed")
	}
}

// RFC 9110, 13.1: conditional stores and deletes.
func TestConditions(t *testing.T) {
	tests := []struct {
		name          string
		exists        bool
		headers       []string // {etag} stands for the object's
		put, deletion int
	}{
		{"none, new", false, nil, 201, 404},
		{"none, there", true, nil, 204, 204},
		{"If-Match, the tag", true, []string{"If-Match", "{etag}"}, 204, 204},
		{"If-Match, in a list", true, []string{"If-Match", `"x", {etag} , "y"`}, 204, 204},
		{"If-Match, in two headers", true, []string{"If-Match", `"x"`, "If-Match", "{etag}"}, 204, 204},
		{"If-Match, another tag", true, []string{"If-Match", `"x"`}, 412, 412},
		{"If-Match, a tag with a comma", true, []string{"If-Match", `"x,{raw}"`}, 412, 412},
		{"If-Match, a weak tag", true, []string{"If-Match", "W/{etag}"}, 412, 412},
		{"If-Match, without quotes", true, []string{"If-Match", "{raw}"}, 204, 204},
		{"If-Match *, there", true, []string{"If-Match", "*"}, 204, 204},
		{"If-Match *, new", false, []string{"If-Match", "*"}, 412, 412},
		{"If-Match, new", false, []string{"If-Match", `"x"`}, 412, 412},
		{"If-Match, broken", true, []string{"If-Match", `"`}, 412, 412},
		{"If-None-Match *, new", false, []string{"If-None-Match", "*"}, 201, 404},
		{"If-None-Match *, there", true, []string{"If-None-Match", "*"}, 412, 412},
		{"If-None-Match, the tag", true, []string{"If-None-Match", "{etag}"}, 412, 412},
		{"If-None-Match, the weak tag", true, []string{"If-None-Match", "W/{etag}"}, 412, 412},
		{"If-None-Match, another tag", true, []string{"If-None-Match", `"x"`}, 204, 204},
		{"both", true, []string{"If-Match", "{etag}", "If-None-Match", "*"}, 412, 412},
		{"unchanged since", true, []string{"If-Unmodified-Since", "Mon, 02 Mar 2026 09:01:00 GMT"}, 204, 204},
		{"changed since", true, []string{"If-Unmodified-Since", "Mon, 02 Mar 2026 09:00:59 GMT"}, 412, 412},
		{"a date that If-Match stands before", true, []string{"If-Match", "{etag}", "If-Unmodified-Since", "Mon, 02 Mar 2020 09:00:00 GMT"}, 204, 204},
		{"no date", true, []string{"If-Unmodified-Since", "yesterday"}, 204, 204},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for method, want := range map[string]int{"PUT": test.put, "DELETE": test.deletion} {
				k := newKit(t)
				headers := []string{"Content-Type", "text/calendar"}
				tag := "none"
				if test.exists {
					k.memory.keep(t, "a.ics", vtodo("1"))
					tag = k.memory.find("a.ics").ETag
				}
				for _, h := range test.headers {
					headers = append(headers, strings.NewReplacer("{etag}", `"`+tag+`"`, "{raw}", tag).Replace(h))
				}
				before := k.memory.snapshot
				if w := k.ask(method, atCollection+"a.ics", vtodo("1"), headers...); w.Code != want {
					t.Errorf("%s: %d, want %d", method, w.Code, want)
				}
				if changed := k.memory.snapshot != before; changed != (want < 300) {
					t.Errorf("%s with status %d: changed %v", method, want, changed)
				}
			}
		})
	}
}

// Requests that a store does not support are not stored half understood.
func TestPutHeaders(t *testing.T) {
	k := newKit(t)
	k.expect(http.StatusUnsupportedMediaType, "PUT", atCollection+"a.ics", vtodo("1"), "Content-Encoding", "gzip")
	k.expect(http.StatusBadRequest, "PUT", atCollection+"a.ics", vtodo("1"), "Content-Range", "bytes 0-9/100")
	if len(k.memory.snapshot.Objects) != 0 {
		t.Error("something was stored")
	}
}

// GET gives the stored bytes; HEAD and conditions as RFC 9110, 13 has them.
func TestGet(t *testing.T) {
	k := newKit(t)
	data := vtodo("1", "SUMMARY:Käse ☕ <&>", "DESCRIPTION:"+strings.Repeat("long ", 12)+"\r\n  folded")
	k.memory.keep(t, "käse ☕.ics", data)
	path := atCollection + "k%C3%A4se%20%E2%98%95.ics"
	w := k.expect(http.StatusOK, "GET", path, "")
	if w.Body.String() != data {
		t.Errorf("got %q", w.Body)
	}
	tag := w.Header().Get("ETag")
	for name, want := range map[string]string{
		"Content-Type": "text/calendar; charset=utf-8; component=VTODO", "Last-Modified": "Mon, 02 Mar 2026 09:01:00 GMT",
		"ETag": `"` + k.memory.find("käse ☕.ics").ETag + `"`,
	} {
		if got := w.Header().Get(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	if w := k.expect(http.StatusOK, "HEAD", path, ""); w.Body.Len() != 0 || w.Header().Get("ETag") != tag || w.Header().Get("Content-Length") == "" {
		t.Errorf("HEAD: %v %q", w.Header(), w.Body)
	}
	k.expect(http.StatusNotModified, "GET", path, "", "If-None-Match", tag)
	k.expect(http.StatusOK, "GET", path, "", "If-None-Match", `"x"`)
	k.expect(http.StatusPreconditionFailed, "GET", path, "", "If-Match", `"x"`)
	k.expect(http.StatusNotModified, "GET", path, "", "If-Modified-Since", "Mon, 02 Mar 2026 09:01:00 GMT")
	k.expect(http.StatusNotFound, "GET", atCollection+"other.ics", "")
}

// A byte-order mark before the object is no part of it. What is fetched has none,
// says when it last changed, and is not sent again to an app that has it
// (RFC 9110, 13.1.3).
func TestByteOrderMarkAndModified(t *testing.T) {
	k := newKit(t)
	w := k.expect(http.StatusCreated, "PUT", atCollection+"a.ics", "\uFEFF"+vtodo("1", "SUMMARY:a"), "Content-Type", "text/calendar; charset=utf-8")
	modified := w.Header().Get("Last-Modified")
	if modified != "Mon, 02 Mar 2026 09:01:00 GMT" {
		t.Errorf("it was last modified %q", modified)
	}
	got := k.expect(http.StatusOK, "GET", atCollection+"a.ics", "")
	if got.Header().Get("Last-Modified") != modified || !strings.HasPrefix(got.Body.String(), "BEGIN:VCALENDAR") {
		t.Errorf("fetched from %q:\n%s", got.Header().Get("Last-Modified"), got.Body)
	}
	k.expect(http.StatusNotModified, "GET", atCollection+"a.ics", "", "If-Modified-Since", modified)
	k.expect(http.StatusOK, "GET", atCollection+"a.ics", "", "If-Modified-Since", "Mon, 02 Mar 2026 09:00:59 GMT")
}
