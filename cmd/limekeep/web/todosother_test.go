package web_test

import (
	"context"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/record"
)

// named returns the name of the one object that begins so.
func (p *phone) named(prefix string) string {
	p.t.Helper()
	found := ""
	for name := range p.list() {
		if strings.HasPrefix(name, prefix) {
			if found != "" {
				p.t.Fatalf("both %s and %s begin with %s", found, name, prefix)
			}
			found = name
		}
	}
	if found == "" {
		p.t.Fatalf("no object begins with %s", prefix)
	}
	return found
}

// A reminder to order is ticked off without a service, and can be opened again.
func TestOrderTickedOff(t *testing.T) {
	p := newPhone(t)
	none := 0.0
	if _, err := p.desk.Journal.SetStock(context.Background(), p.desk.Day(t, schedule.Moment{}), record.Stock{Item: "backflush detergent", Count: &none}); err != nil {
		t.Fatal(err)
	}
	name := p.named("order.")
	services := p.services()
	for _, c := range []struct{ say, shows string }{
		{"STATUS:COMPLETED", "STATUS:COMPLETED"}, {"STATUS:COMPLETED", "STATUS:COMPLETED"}, {"STATUS:NEEDS-ACTION", "STATUS:NEEDS-ACTION"},
	} {
		text, tag := p.get(name)
		p.put(http.StatusNoContent, name, saying(text, c.say), "If-Match", tag)
		if err := p.server.Renew(t.Context()); err != nil {
			t.Fatal(err)
		}
		p.start()
		if now, _ := p.get(name); !strings.Contains(now, c.shows) {
			t.Errorf("said to be %s it is\n%s", c.say, now)
		}
	}
	if n := p.services(); n != services {
		t.Errorf("%d services were written down", n-services)
	}
}

// Apps complete a day of what recurs in three ways; each writes the day's services
// down once, and the next day is what is open.
func TestRoutineTickedOff(t *testing.T) {
	start := regexp.MustCompile(`DTSTART;VALUE=DATE:(\d+)`)
	for _, c := range []struct {
		name string
		say  func(text string) string
	}{
		{"the whole is completed", func(text string) string { return saying(text, "STATUS:COMPLETED") }},
		{"the start is moved", func(text string) string {
			return start.ReplaceAllString(text, "DTSTART;VALUE=DATE:20260303")
		}},
		{"an override", func(text string) string {
			uid := regexp.MustCompile(`UID:.*\r\n`).FindString(text)
			return strings.Replace(text, "END:VTODO\r\n", "END:VTODO\r\nBEGIN:VTODO\r\n"+uid+"DTSTAMP:20260302T120000Z\r\nRECURRENCE-ID;VALUE=DATE:20260302\r\nSTATUS:COMPLETED\r\nEND:VTODO\r\n", 1)
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := phoneIn(t, func(s *schedule.Setup) {
				for _, id := range []string{"wipe-bench", "empty-box"} {
					s.Care.Tasks = append(s.Care.Tasks, record.OwnTask{ID: id, Title: "Daily: " + id, Equipment: "bench", Days: 1})
				}
			}, func(s *web.Server) { s.Publisher.Routine = true })
			name := p.named("routine.ics")
			text, _ := p.get(name)
			if start.FindStringSubmatch(text)[1] != "20260302" || !strings.Contains(text, "RRULE:FREQ=DAILY") {
				t.Fatalf("the routine is\n%s", text)
			}
			before := p.services()
			p.put(http.StatusNoContent, name, c.say(text))
			wrote := p.services() - before
			if wrote != 2 {
				t.Fatalf("%d services were written down", wrote)
			}
			after, _ := p.get(name)
			if got := start.FindStringSubmatch(after)[1]; got != "20260303" || !strings.Contains(after, "STATUS:NEEDS-ACTION") {
				t.Errorf("it starts on %s\n%s", got, after)
			}
			p.put(http.StatusNoContent, name, c.say(text)) // sent again
			if n := p.services() - before; n != wrote {
				t.Errorf("%d services, sent again %d", wrote, n)
			}
		})
	}
}

// Without rounds in the calendar each task of the routine is a to-do of its own.
// Ticked off, it is one service and one day of work, and comes back a round later
// under another name; the calendar knows nothing of it.
func TestRoutineTaskTickedOff(t *testing.T) {
	p := phoneIn(t, func(s *schedule.Setup) {
		s.Care.Tasks = append(s.Care.Tasks, record.OwnTask{ID: "empty-box", Title: "Empty the box", Equipment: "bench", Days: 1})
	})
	name := p.named("bench.empty-box.")
	text, tag := p.get(name)
	if !strings.Contains(text, "DUE;VALUE=DATE:20260302") || strings.Contains(text, "RRULE") || strings.Contains(text, "VALARM") {
		t.Fatalf("the task of the routine is\n%s", text)
	}
	before := p.services()
	p.put(http.StatusNoContent, name, saying(text, "STATUS:COMPLETED"), "If-Match", tag)
	if now, _ := p.get(name); !strings.Contains(now, "STATUS:COMPLETED") || p.services() != before+1 {
		t.Errorf("%d services, and it shows as\n%s", p.services()-before, now)
	}
	if err := p.server.Renew(t.Context()); err != nil {
		t.Fatal(err)
	}
	found := 0
	for other := range p.list() {
		if !strings.HasPrefix(other, "bench.empty-box.") {
			continue
		}
		found++
		now, _ := p.get(other)
		if done := strings.Contains(now, "STATUS:COMPLETED"); done != (other == name) || !done && !strings.Contains(now, "DUE;VALUE=DATE:20260303") {
			t.Errorf("%s is now\n%s", other, now)
		}
	}
	if found != 2 {
		t.Errorf("%d to-dos of the task, want what was done and what comes", found)
	}
	_, feed := ask(t, p.h, get("/calendar/"+secret+"/limekeep.ics"))
	if strings.Contains(feed, "Empty the box") {
		t.Error("the calendar has it as well")
	}
}
