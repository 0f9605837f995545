package web_test

import (
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web"
	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

func withSittings(s *web.Server) { s.Sittings = &sample.Sittings{} }

// here is the item of a checklist that is to be done, and its form.
var (
	here     = regexp.MustCompile(`(?s)<li class="item here".*?\n</li>`)
	waiting  = regexp.MustCompile(`(?s)<li class="item runs".*?\n</li>`)
	itemForm = regexp.MustCompile(`(?s)<form method="post" action="(/sitting/[^"]+/(tick|start|done|leave))".*?</form>`)
	hidden   = regexp.MustCompile(`<input type="hidden" name="([^"]+)" value="([^"]*)">`)
	found    = regexp.MustCompile(`name="finding" value="([^"]+)"`)
)

// A sitting is gone through from its beginning to its end, each step by the first form
// that its page offers, as a browser without scripts does: all its tasks are written
// down once, with what was found, and the end says so.
func TestSittingFromBeginToEnd(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk, withSittings)
	next := desk.Forecast(t, schedule.Moment{}).Plan().Sittings[0]
	before := len(records.Of(record.KindService)) + len(records.Of(record.KindMeasurement))
	_, body := ask(t, h, get("/"))
	start := regexp.MustCompile(`name="start" value="([^"]+)"`).FindStringSubmatch(body)
	if start == nil {
		t.Fatal("the next sitting cannot be begun")
	}
	answer, _ := ask(t, h, post("/sitting", url.Values{"start": {html.UnescapeString(start[1])}}))
	at := answer.Header.Get("Location")
	if answer.StatusCode != http.StatusSeeOther || !strings.HasPrefix(at, "/sitting/") {
		t.Fatalf("status %d, to %s", answer.StatusCode, at)
	}
	if answer, _ := ask(t, h, post("/sitting", url.Values{"start": {html.UnescapeString(start[1])}})); answer.Header.Get("Location") != at {
		t.Errorf("begun again it is another: %s", answer.Header.Get("Location"))
	}
	left, steps := 0, 0
	for ; steps < 100; steps++ {
		_, body = ask(t, h, get(at))
		item := here.FindString(body)
		if item == "" { // all that is left is to wait; the clock of the tests stands
			item = waiting.FindString(body)
		}
		if item == "" {
			break
		}
		form := itemForm.FindStringSubmatch(item)
		if form == nil {
			t.Fatalf("nothing can be done with\n%s", item)
		}
		sent := url.Values{}
		for _, m := range hidden.FindAllStringSubmatch(form[0], -1) {
			sent.Set(m[1], m[2])
		}
		if f := found.FindStringSubmatch(form[0]); f != nil {
			sent.Set("finding", f[1])
		}
		if form[2] == "leave" {
			left++
		}
		answer, body := ask(t, h, post(form[1], sent))
		if answer.StatusCode != http.StatusSeeOther {
			t.Fatalf("%s %v: status %d\n%s", form[1], sent, answer.StatusCode, body)
		}
		// Sent again it changes nothing.
		if answer, _ := ask(t, h, post(form[1], sent)); answer.StatusCode >= http.StatusInternalServerError {
			t.Errorf("sent again: status %d", answer.StatusCode)
		}
		// Stopped and gone on with later, it stands where it stood.
		if steps == 1 {
			_, now := ask(t, h, get("/"))
			holds(t, now, "A sitting is under way", `href="`+at+`#now"`)
		}
	}
	written := len(records.Of(record.KindService)) + len(records.Of(record.KindMeasurement)) - before
	done := map[string]bool{}
	for _, e := range records.Of(record.KindService) {
		done[e.Body.(record.Service).Task] = true
	}
	for _, turn := range next.Turns {
		if !done[turn.Task] {
			t.Logf("%s was not written down: %+v", turn.Task, next.Steps)
		}
	}
	if want := len(next.Turns) - left; written != want || written == 0 {
		t.Errorf("%d records of %d tasks, %d of them left out, in %d steps", written, len(next.Turns), left, steps)
	}
	if answer, _ := ask(t, h, post(at+"/end", url.Values{})); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("the end: status %d", answer.StatusCode)
	}
	_, body = ask(t, h, get(at))
	holds(t, body, "Written down, and what was learnt", "Which dates moved", "To buy")
	if n := strings.Count(body, "/take-back"); n != written {
		t.Errorf("%d of %d records can be taken back", n, written)
	}
	if answer, _ := ask(t, h, post(at+"/tick", url.Values{"item": {"0"}})); answer.StatusCode != http.StatusConflict {
		t.Errorf("ticked after the end: status %d", answer.StatusCode)
	}
}

// What is dangerous is neither ticked nor written down before it was confirmed that it
// is safe, whatever is sent.
func TestSittingAsksForSafetyFirst(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk, withSittings)
	start := desk.Forecast(t, schedule.Moment{}).Plan().Sittings[0].Start
	answer, _ := ask(t, h, post("/sitting", url.Values{"start": {start.Format("2006-01-02T15:04:05Z07:00")}}))
	at := answer.Header.Get("Location")
	refused := 0
	for i := range 60 {
		answer, body := ask(t, h, post(at+"/done", url.Values{"item": {strconv.Itoa(i)}, "finding": {""}}))
		if answer.StatusCode == http.StatusConflict && strings.Contains(body, "first confirm that it is safe") {
			refused++
		}
	}
	if refused == 0 {
		t.Error("nothing was refused")
	}
	for _, e := range records.Of(record.KindService) {
		service := e.Body.(record.Service)
		duty, err := desk.Day(t, schedule.Moment{}).Duty(service.Task)
		if err != nil {
			t.Fatal(err)
		}
		if e.Source == "page" && len(duty.Task.MakeSafe) > 0 {
			t.Errorf("%s was written down before it was safe", service.Task)
		}
	}
}

// Nothing on any page sends its reader to a command line.
func TestNoPageNamesACommand(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk, withApps(twoApps()), withSittings)
	paths := []string{"/", "/plan", "/use", "/water/new", "/history", "/calendar", "/nowhere"}
	for _, d := range desk.Forecast(t, schedule.Moment{}).Day.Tasks() {
		paths = append(paths, "/tasks/"+d.Task)
	}
	command := regexp.MustCompile("limekeep (water|use|done|measure|descale|void|setup|due|plan|move|stock|away|calendar|serve|apps|history)|command line|`")
	for _, path := range paths {
		if _, body := ask(t, h, get(path)); command.MatchString(body) {
			t.Errorf("%s: %s", path, command.FindString(body))
		}
	}
}

// sittingBodies returns the pages of a sitting: begun, refused, and over.
func sittingBodies(t *testing.T) map[string]string {
	t.Helper()
	desk, _ := kitchen(t)
	h := open(desk, withSittings)
	start := desk.Forecast(t, schedule.Moment{}).Plan().Sittings[0].Start
	answer, _ := ask(t, h, post("/sitting", url.Values{"start": {start.Format("2006-01-02T15:04:05Z07:00")}}))
	at := answer.Header.Get("Location")
	bodies := map[string]string{}
	_, bodies["a sitting begun"] = ask(t, h, get(at))
	_, bodies["a sitting on Now"] = ask(t, h, get("/"))
	for i := range 30 {
		n := strconv.Itoa(i)
		_, bodies["item "+n+" of a sitting"] = ask(t, h, get(at+"?item="+n))
		if answer, body := ask(t, h, post(at+"/tick", url.Values{"item": {n}})); answer.StatusCode == http.StatusConflict {
			bodies["item "+n+" refused"] = body
		}
	}
	ask(t, h, post(at+"/end", url.Values{}))
	_, bodies["a sitting over"] = ask(t, h, get(at))
	return bodies
}
