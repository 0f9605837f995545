package web_test

import (
	"context"
	"encoding/xml"
	"net/http"
	"net/url"
	"path"
	"regexp"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// todoList is where the to-dos of the test kitchen are kept.
const todoList = "/dav/home/todos/home/"

// A task of the test kitchen, and the object it is open as.
const (
	tipsTask = "bench/steam-tips"
	tips     = "bench.steam-tips.0.ics"
)

// phone is a task app with a password for the kitchen.
type phone struct {
	t       *testing.T
	h       http.Handler
	desk    *sample.Kitchen
	records *sample.Records
	shown   *memorySync
	clock   *time.Time
	server  *web.Server
}

// newPhone returns an app and the kitchen that it looks at.
func newPhone(t *testing.T, change ...func(*web.Server)) *phone {
	t.Helper()
	return phoneIn(t, func(*schedule.Setup) {}, change...)
}

// phoneIn is newPhone in a kitchen that is set up otherwise.
func phoneIn(t *testing.T, setUp func(*schedule.Setup), change ...func(*web.Server)) *phone {
	t.Helper()
	desk, records := kitchen(t, setUp)
	clock := noon
	desk.Now = func() time.Time { return clock }
	p := &phone{t: t, desk: desk, records: records, shown: &memorySync{}, clock: &clock}
	p.start(change...)
	return p
}

// start begins a server anew over the same records and state.
func (p *phone) start(change ...func(*web.Server)) {
	p.server = &web.Server{
		Days: p.desk.Opener, Journal: p.desk.Journal, Publisher: p.desk.Publisher, SyncStore: p.shown, Place: "home", BaseURL: "https://care.example",
		Secret: func(context.Context) (string, error) { return secret, nil },
		CheckPassword: func(_ context.Context, password string) (string, bool, error) {
			return "phone", password == "open", nil
		},
	}
	for _, f := range change {
		f(p.server)
	}
	p.h = p.server.Handler()
}

func (p *phone) send(method, name, body string, headers ...string) (*http.Response, string) {
	p.t.Helper()
	r := request(method, todoList+url.PathEscape(name), body, headers...)
	r.SetBasicAuth("home", "open")
	return ask(p.t, p.h, r)
}

func (p *phone) get(name string) (text, tag string) {
	p.t.Helper()
	answer, body := p.send(http.MethodGet, name, "")
	if answer.StatusCode != http.StatusOK {
		p.t.Fatalf("GET %s: status %d: %s", name, answer.StatusCode, body)
	}
	return body, answer.Header.Get("ETag")
}

// put sends an object and checks the status; it gives the ETag of the answer.
func (p *phone) put(status int, name, body string, headers ...string) string {
	p.t.Helper()
	answer, text := p.send(http.MethodPut, name, body, append([]string{"Content-Type", "text/calendar; charset=utf-8"}, headers...)...)
	if answer.StatusCode != status {
		p.t.Fatalf("PUT %s: status %d, want %d: %s", name, answer.StatusCode, status, text)
	}
	return answer.Header.Get("ETag")
}

func (p *phone) delete(status int, name string, headers ...string) {
	p.t.Helper()
	if answer, body := p.send(http.MethodDelete, name, "", headers...); answer.StatusCode != status {
		p.t.Fatalf("DELETE %s: status %d, want %d: %s", name, answer.StatusCode, status, body)
	}
}

type multistatus struct {
	Token     string `xml:"DAV: sync-token"`
	Responses []struct {
		Href   string `xml:"DAV: href"`
		Status string `xml:"DAV: status"`
		Tag    string `xml:"DAV: propstat>prop>getetag"`
	} `xml:"DAV: response"`
}

// list returns the entity tags of all objects by name.
func (p *phone) list() map[string]string {
	p.t.Helper()
	answer, body := p.send("PROPFIND", "", `<propfind xmlns="DAV:"><prop><getetag/></prop></propfind>`, "Content-Type", "application/xml", "Depth", "1")
	if answer.StatusCode != http.StatusMultiStatus {
		p.t.Fatalf("PROPFIND: status %d: %s", answer.StatusCode, body)
	}
	return p.tags(body)
}

func (p *phone) tags(body string) map[string]string {
	p.t.Helper()
	var m multistatus
	if err := xml.Unmarshal([]byte(body), &m); err != nil {
		p.t.Fatal(err)
	}
	tags := map[string]string{}
	for _, r := range m.Responses {
		name, err := url.PathUnescape(path.Base(r.Href))
		if err != nil {
			p.t.Fatal(err)
		}
		if strings.HasSuffix(name, ".ics") {
			tags[name] = r.Tag
		}
	}
	return tags
}

// sync asks what changed since a token.
func (p *phone) sync(token string) (tags map[string]string, next string) {
	p.t.Helper()
	answer, body := p.send("REPORT", "", `<sync-collection xmlns="DAV:"><sync-token>`+token+`</sync-token><sync-level>1</sync-level><prop><getetag/></prop></sync-collection>`, "Content-Type", "application/xml")
	if answer.StatusCode != http.StatusMultiStatus {
		p.t.Fatalf("REPORT: status %d: %s", answer.StatusCode, body)
	}
	var m multistatus
	if err := xml.Unmarshal([]byte(body), &m); err != nil {
		p.t.Fatal(err)
	}
	return p.tags(body), m.Token
}

func (p *phone) services() int { return len(p.records.Of(record.KindService)) }

var statusLine = regexp.MustCompile(`(?m)^(STATUS|PERCENT-COMPLETE|COMPLETED)[:;].*\r\n`)

// saying returns an object with other words on whether it is done.
func saying(text string, lines ...string) string {
	text = statusLine.ReplaceAllString(text, "")
	return strings.Replace(text, "END:VTODO", strings.Join(append(lines, "END:VTODO"), "\r\n"), 1)
}

// Completing a to-do records its service, once, in whatever way an app says it,
// and says where it came from.
func TestTodoTickedOff(t *testing.T) {
	for _, lines := range [][]string{
		{"STATUS:COMPLETED"},
		{"STATUS:COMPLETED", "PERCENT-COMPLETE:100", "COMPLETED:20260302T113000Z"},
		{"PERCENT-COMPLETE:100"},
		{"COMPLETED:20260302T113000Z"},
		{"STATUS:NEEDS-ACTION", "PERCENT-COMPLETE:100"},
	} {
		t.Run(strings.Join(lines, " "), func(t *testing.T) {
			p := newPhone(t)
			text, tag := p.get(tips)
			before := p.services()
			if got := p.put(http.StatusNoContent, tips, saying(text, lines...), "If-Match", tag); got != "" {
				t.Errorf("the answer has the tag %s, though it is not kept as it was sent", got)
			}
			for range 3 { // sent again, with and without a condition
				p.put(http.StatusNoContent, tips, saying(text, lines...))
				p.put(http.StatusPreconditionFailed, tips, saying(text, lines...), "If-Match", tag)
			}
			if n := p.services(); n != before+1 {
				t.Fatalf("%d services were written down", n-before)
			}
			now, after := p.get(tips)
			holds(t, now, "STATUS:COMPLETED\r\n", "PERCENT-COMPLETE:100\r\n", "COMPLETED:20260302T", "task app: phone")
			if after == tag {
				t.Error("the tag is the same")
			}
			last := p.records.Last()
			for _, e := range p.records.Entries {
				if e.Kind() == record.KindService {
					last = e
				}
			}
			if last.Source != "task app: phone" || last.Body.(record.Service).Task != tipsTask {
				t.Errorf("the record is %+v", last)
			}
			// The next turn is there, under another name.
			others := 0
			for name := range p.list() {
				if strings.HasPrefix(name, "bench.steam-tips.") && name != tips {
					others++
				}
			}
			if others != 1 {
				t.Errorf("%d other turns of the task", others)
			}
		})
	}
}

// Open again within an hour, the service is void; later it stays, and the app is
// put right.
func TestTodoTakenBack(t *testing.T) {
	for _, c := range []struct {
		after time.Duration
		back  bool
	}{{59 * time.Minute, true}, {61 * time.Minute, false}} {
		p := newPhone(t)
		text, _ := p.get(tips)
		p.put(http.StatusNoContent, tips, saying(text, "STATUS:COMPLETED"))
		*p.clock = p.clock.Add(c.after)
		done, tag := p.get(tips)
		p.put(http.StatusNoContent, tips, saying(done, "STATUS:NEEDS-ACTION", "PERCENT-COMPLETE:0"), "If-Match", tag)
		now, newTag := p.get(tips)
		if open := strings.Contains(now, "STATUS:NEEDS-ACTION"); open != c.back {
			t.Errorf("after %s: open again %t", c.after, open)
		}
		if newTag == tag {
			t.Errorf("after %s: the app would not fetch it anew", c.after)
		}
		if voids := len(p.records.Of(record.KindVoid)); (voids == 1) != c.back {
			t.Errorf("after %s: %d voids", c.after, voids)
		}
	}
}

// What an app may not change is as it was at the next look, under another tag;
// nothing is written down.
func TestTodoIsPutRight(t *testing.T) {
	p := newPhone(t)
	text, _ := p.get(tips)
	_, token := p.sync("")
	before := len(p.records.Entries)
	for _, change := range []func(string) string{
		func(s string) string { return strings.Replace(s, "SUMMARY:", "SUMMARY:Not ", 1) },
		func(s string) string {
			return regexp.MustCompile(`DUE.*\r\n`).ReplaceAllString(s, "DUE;VALUE=DATE:20300101\r\n")
		},
		func(s string) string { return saying(s, "STATUS:CANCELLED") },
		func(s string) string { return saying(s, "STATUS:IN-PROCESS", "PERCENT-COMPLETE:50") },
		func(s string) string { return strings.Replace(s, "END:VTODO", "RRULE:FREQ=DAILY\r\nEND:VTODO", 1) },
	} {
		was, tag := p.get(tips)
		p.put(http.StatusNoContent, tips, change(was), "If-Match", tag)
		now, after := p.get(tips)
		if unnumbered(now) != unnumbered(text) || now == was || after == tag {
			t.Errorf("it is now, with the tag %s after %s:\n%s", after, tag, now)
		}
		var changed map[string]string
		if changed, token = p.sync(token); changed[tips] != after || len(changed) != 1 {
			t.Errorf("changed are %v, not %s alone", changed, tips)
		}
	}
	if n := len(p.records.Entries); n != before {
		t.Errorf("%d records were written", n-before)
	}
	// Another identity at its address is a conflict (RFC 4791, 5.3.2.1).
	p.put(http.StatusConflict, tips, regexp.MustCompile(`UID:.*\r\n`).ReplaceAllString(text, "UID:another\r\n"))
	// What needs values is not done by a tick.
	name := "bench.flow-test.group." + lastRecord(p, "bench/flow-test/group") + ".ics"
	check, _ := p.get(name)
	holds(t, strings.ReplaceAll(check, "\r\n ", ""), "write them down with the form on the page of its check")
	p.put(http.StatusNoContent, name, saying(check, "STATUS:COMPLETED"))
	if now, _ := p.get(name); unnumbered(now) != unnumbered(check) {
		t.Error("a condition check was done by a tick")
	}
}

// unnumbered leaves the sequence out, by which an object that was put right is
// another one.
func unnumbered(text string) string {
	return regexp.MustCompile(`SEQUENCE:\d+\r\n`).ReplaceAllString(text, "")
}

// lastRecord returns the number in the name of an object that is open.
func lastRecord(p *phone, task string) string {
	prefix := strings.ReplaceAll(task, "/", ".") + "."
	for name := range p.list() {
		if rest, ok := strings.CutPrefix(name, prefix); ok {
			if text, _ := p.get(name); strings.Contains(text, "NEEDS-ACTION") {
				return strings.TrimSuffix(rest, ".ics")
			}
		}
	}
	p.t.Fatalf("no open object of %s", task)
	return ""
}

// A deletion hides one occurrence of the collection and nothing else.
func TestTodoDeleted(t *testing.T) {
	p := newPhone(t)
	_, token := p.sync("")
	_, tag := p.get(tips)
	p.delete(http.StatusPreconditionFailed, tips, "If-Match", `"other"`)
	p.delete(http.StatusNoContent, tips, "If-Match", tag)
	p.delete(http.StatusNotFound, tips)
	changed, _ := p.sync(token)
	if tag, ok := changed[tips]; !ok || tag != "" || len(changed) != 1 {
		t.Errorf("changed are %v", changed)
	}
	if err := p.server.Renew(context.Background()); err != nil {
		t.Fatal(err)
	}
	p.start() // and after a restart
	if _, ok := p.list()[tips]; ok {
		t.Error("it is back")
	}
	if _, body := ask(t, p.h, get(feed)); !strings.Contains(strings.ReplaceAll(body, "\r\n ", ""), "/tasks/"+tipsTask+"\\n") {
		t.Error("the calendar lost it as well")
	}
	if p.services() != 3 {
		t.Errorf("%d services", p.services())
	}
	// Done by other means, the next turn shows.
	if _, err := p.desk.Journal.Done(context.Background(), p.desk.Day(t, schedule.Moment{}), 0, record.Service{Task: tipsTask}); err != nil {
		t.Fatal(err)
	}
	if lastRecord(p, tipsTask) == "0" {
		t.Error("the next turn does not show")
	}
}

// Licensed work and what is for safety comes back.
func TestTodoForSafetyComesBack(t *testing.T) {
	p := newPhone(t, func(s *web.Server) { s.Days.PlanMonths = day.DefaultPlanMonths }) // safety valves last for years
	for _, task := range []string{"bench/safety-valve", "bench/rcd-test"} {
		name := strings.ReplaceAll(task, "/", ".") + "." + lastRecord(p, task) + ".ics"
		text, tag := p.get(name)
		_, token := p.sync("")
		p.delete(http.StatusNoContent, name)
		now, after := p.get(name)
		if unnumbered(now) != unnumbered(text) || after == tag {
			t.Errorf("%s is not as it was, or has the same tag", name)
		}
		if changed, _ := p.sync(token); changed[name] != after {
			t.Errorf("the app does not learn that %s is back: %v", name, changed)
		}
	}
}

// A client that resets its account deletes everything: more than three within a
// minute are refused, and all are back.
func TestBurstOfDeletions(t *testing.T) {
	p := newPhone(t)
	before := p.list()
	var names []string
	for name := range before {
		if strings.HasPrefix(name, "grinder.") || strings.HasPrefix(name, "bench.s") {
			names = append(names, name)
		}
	}
	if len(names) < 6 {
		t.Fatalf("only %d to-dos to delete", len(names))
	}
	for i, name := range names[:6] {
		status := http.StatusNoContent
		if i >= 3 {
			status = http.StatusForbidden
		}
		p.delete(status, name)
		*p.clock = p.clock.Add(10 * time.Second)
	}
	after := p.list()
	if len(after) != len(before) {
		t.Errorf("%d to-dos, were %d", len(after), len(before))
	}
	for i, name := range names[:6] { // those that were refused are other versions, so that the app fetches them
		if i >= 3 && after[name] == before[name] {
			t.Errorf("%s has the same tag", name)
		}
	}
	*p.clock = p.clock.Add(2 * time.Minute)
	for _, name := range names[:5] { // one by one they can go
		p.delete(http.StatusNoContent, name)
		*p.clock = p.clock.Add(30 * time.Second)
	}
}

const own = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//test//EN\r\nBEGIN:VTODO\r\nUID:7C1A\r\nDTSTAMP:20260302T120000Z\r\nSUMMARY:Polish the case\r\nDUE;VALUE=DATE:20260420\r\nEND:VTODO\r\nEND:VCALENDAR\r\n"

// New to-dos are refused by the standard error unless the owner asks for them.
func TestNewTodos(t *testing.T) {
	refusing := newPhone(t)
	before := len(refusing.list())
	if answer, body := refusing.send(http.MethodPut, "7C1A.ics", own, "Content-Type", "text/calendar"); answer.StatusCode != http.StatusForbidden || !strings.Contains(body, "need-privileges") {
		t.Errorf("status %d: %s", answer.StatusCode, body)
	}
	if len(refusing.list()) != before {
		t.Error("it is there")
	}

	p := newPhone(t, func(s *web.Server) { s.TakeTodos = true })
	p.put(http.StatusCreated, "7C1A.ics", own, "If-None-Match", "*")
	p.put(http.StatusPreconditionFailed, "7C1A.ics", own, "If-None-Match", "*")
	p.put(http.StatusConflict, "other.ics", own) // the same identity at another address
	text, _ := p.get("7C1A.ics")
	holds(t, text, "UID:7C1A\r\n", "SUMMARY:Polish the case\r\n", "STATUS:NEEDS-ACTION")
	if _, body := ask(t, p.h, get(feed)); !strings.Contains(body, "Polish the case") {
		t.Error("the calendar lacks it")
	}
	// Done it stays as it was called, and does not come again.
	p.put(http.StatusNoContent, "7C1A.ics", saying(own, "STATUS:COMPLETED"))
	if text, _ := p.get("7C1A.ics"); !strings.Contains(text, "STATUS:COMPLETED") || !strings.Contains(text, "UID:7C1A") {
		t.Errorf("done it is\n%s", text)
	}
	if n := len(p.list()); n != before+1 {
		t.Errorf("%d to-dos, want %d", n, before+1)
	}
}

// A to-do of the app's own is dropped when the app deletes it.
func TestOwnTodoDeleted(t *testing.T) {
	p := newPhone(t, func(s *web.Server) { s.TakeTodos = true })
	before := len(p.list())
	p.put(http.StatusCreated, "a b.ics", own)
	p.delete(http.StatusNoContent, "a b.ics")
	if n := len(p.list()); n != before {
		t.Errorf("%d to-dos, want %d", n, before)
	}
	p.put(http.StatusCreated, "a b.ics", own) // and comes again when the app sends it again
	if text, _ := p.get("a b.ics"); !strings.Contains(text, "Polish") {
		t.Error("it is not back")
	}
}

// Neither a look, nor a replan, nor a restart changes a tag or a token.
func TestTodosHoldStill(t *testing.T) {
	p := newPhone(t)
	before, token := p.sync("")
	for range 3 {
		if err := p.server.Renew(context.Background()); err != nil {
			t.Fatal(err)
		}
		p.start()
		if changed, next := p.sync(token); len(changed) != 0 || next != token {
			t.Errorf("changed are %v, token %s after %s", changed, next, token)
		}
	}
	after := p.list()
	if len(after) != len(before) || len(before) < 10 {
		t.Errorf("%d to-dos, were %d", len(after), len(before))
	}
	for name, tag := range before {
		if after[name] != tag {
			t.Errorf("%s: tag %s, was %s", name, after[name], tag)
		}
	}
}

// The wrong password, or none, gets in nowhere.
func TestTodosAreLocked(t *testing.T) {
	p := newPhone(t)
	for _, c := range []struct{ user, password string }{{"home", "shut"}, {"home", ""}, {"away", "open"}, {"", ""}} {
		for _, method := range []string{"PROPFIND", "REPORT", http.MethodGet, http.MethodPut, http.MethodDelete} {
			r := request(method, todoList+tips, "")
			if c.user != "" {
				r.SetBasicAuth(c.user, c.password)
			}
			answer, body := ask(t, p.h, r)
			if answer.StatusCode != http.StatusUnauthorized || answer.Header.Get("WWW-Authenticate") == "" || strings.Contains(body, "VTODO") {
				t.Errorf("%s as %q: status %d", method, c.user, answer.StatusCode)
			}
		}
	}
}
