package web_test

import (
	"context"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/web"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/round"
	"limekeep/schedule/sample"
)

// roundStreet is a street with a round, whose people come in by who they are.
func roundStreet(t *testing.T, people guests, ids ...string) *street {
	t.Helper()
	return newStreet(t, func(p *web.Places) {
		p.Front.Owner, p.Front.People, p.Front.All = doorman{}, people, true
		makeServer := p.Make
		p.Make = func(place string) (*web.Server, error) {
			server, err := makeServer(place)
			server.Sittings, server.Owner, server.People = &sample.Sittings{}, doorman{}, people
			return server, err
		}
		p.Round = func() (round.Settings, error) { return round.Settings{From: "workshop"}, nil }
		p.Van = func(ctx context.Context, _ []day.Outlook) (round.Van, error) {
			book, err := p.Records.Read(ctx, round.VanPlace, record.NewDate(2030, 1, 1))
			if err != nil {
				return round.Van{}, err
			}
			return round.VanOf(book, []string{"drop test", "gasket"}, nil), nil
		}
		p.SetVan = func(ctx context.Context, s record.Stock, source string) (int64, error) {
			if err := s.Validate(); err != nil {
				return 0, err
			}
			ids, err := p.Records.Append(ctx, record.Entry{Place: round.VanPlace, Effective: record.DateOf(noon), Entered: noon.UTC(), Source: source, Body: s})
			if err != nil {
				return 0, err
			}
			return ids[0], nil
		}
	}, ids...)
}

// as sends a request as somebody.
func (s *street) as(t *testing.T, who string, r *http.Request) (*http.Response, string) {
	t.Helper()
	r.AddCookie(&http.Cookie{Name: "limekeep", Value: who})
	return ask(t, s.h, r)
}

// formOf reads the hidden inputs of the first form of a page that is sent to an address.
func formOf(t *testing.T, body, action string) url.Values {
	t.Helper()
	_, rest, ok := strings.Cut(body, `action="`+action+`"`)
	if !ok {
		t.Fatalf("no form is sent to %s:\n%s", action, body)
	}
	rest, _, _ = strings.Cut(rest, "</form>")
	sent := url.Values{}
	for _, m := range hidden.FindAllStringSubmatch(rest, -1) {
		sent.Add(m[1], m[2])
	}
	return sent
}

// sends sends a form and sees that it leads on.
func (s *street) sends(t *testing.T, who, action string, form url.Values) string {
	t.Helper()
	answer, body := s.as(t, who, post(action, form))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("%s %v: %s\n%s", action, form, answer.Status, body)
	}
	return answer.Header.Get("Location")
}

// A technician books a visit of the round, moves it once the risk was told, goes there,
// writes down what was found, and has the report signed; what is put right later stands
// beside what was signed.
func TestVisitFromRoundToReport(t *testing.T) {
	people := guests{"anna": {Name: "Anna", Role: roles.Technician}, "sam": {Name: "Sam", Role: roles.Staff, Places: []string{"blue"}}}
	s := roundStreet(t, people, "blue", "red")
	_, body := s.as(t, "anna", get("/round"))
	book := formOf(t, body, "/round/book")
	if !strings.HasPrefix(book.Get("visit"), "blue ") && !strings.HasPrefix(book.Get("visit"), "red ") {
		t.Fatalf("the form carries %v", book)
	}
	place, _, _ := strings.Cut(book.Get("visit"), " ")
	for range 2 { // sent twice it is booked once
		to := s.sends(t, "anna", "/round/book", book)
		if _, body = s.as(t, "anna", get(to)); !strings.Contains(body, "visit is booked") {
			t.Errorf("after booking:\n%s", body)
		}
	}
	visits := s.records.Of(record.KindBookedVisit)
	if len(visits) != 1 || visits[0].Place != place || visits[0].Source != "page: Anna" || visits[0].Body.(record.BookedVisit).By != "Anna" {
		t.Fatalf("booked: %+v", visits)
	}
	holds(t, body, "Booked</strong>", `name="visit" value="`+itoa(visits[0].ID)+`"`)
	if _, js := s.as(t, "anna", get("/round.json")); !strings.Contains(js, `"booked":`+itoa(visits[0].ID)) {
		t.Error("the JSON of the round does not have it booked")
	}

	// The risk of another day is told before anything is moved.
	at := "/at/" + place
	page := at + "/visits/" + itoa(visits[0].ID)
	was := visits[0].Body.(record.BookedVisit)
	later := was.On + 9
	_, body = s.as(t, "anna", get(page))
	holds(t, body, "Visit of", "Anna", "Withdraw it", "for four weeks")
	if answer, body := s.as(t, "anna", get(page+"?day=1999-01-01&at=10:15&minutes=50")); answer.StatusCode != http.StatusOK || !strings.Contains(body, "Please correct") {
		t.Errorf("a day of the past is not refused: %s", answer.Status)
	}
	_, body = s.as(t, "anna", get(page+"?day="+later.String()+"&at=10:15&minutes=50"))
	holds(t, body, "By "+later.Long(), "chance that its limit is passed by then")
	if len(s.records.Of(record.KindBookedVisit)) != 1 {
		t.Fatal("asking moved it")
	}
	s.sends(t, "anna", page+"/move", formOf(t, body, page+"/move"))
	visits = s.records.Of(record.KindBookedVisit)
	moved := visits[len(visits)-1]
	if v := moved.Body.(record.BookedVisit); v.On != later || v.At != "10:15" || v.Minutes != 50 || v.First != visits[0].ID || len(v.Tasks) != len(was.Tasks) {
		t.Errorf("moved it is %+v, was %+v", v, was)
	}
	if answer, _ := s.as(t, "anna", get(page)); answer.StatusCode != http.StatusNotFound {
		t.Errorf("the visit that was moved is still there: %s", answer.Status)
	}
	for _, path := range []string{at + "/visits", at + "/visits/" + itoa(moved.ID), "/round", "/van"} {
		if answer, _ := s.as(t, "sam", get(path)); answer.StatusCode != http.StatusForbidden {
			t.Errorf("staff see %s: %s", path, answer.Status)
		}
	}

	// The visit.
	to := s.sends(t, "anna", at+"/sitting", url.Values{"visit": {itoa(moved.ID)}})
	wrote := ""
	for range 60 {
		_, body = s.as(t, "anna", get(to))
		item := here.FindString(body)
		if item == "" { // all that is left is to wait; the clock of the tests stands
			item = waiting.FindString(body)
		}
		form := itemFormAt.FindStringSubmatch(item)
		if form == nil {
			break
		}
		sent := url.Values{}
		for _, m := range hidden.FindAllStringSubmatch(form[0], -1) {
			sent.Set(m[1], m[2])
		}
		if f := found.FindAllStringSubmatch(form[0], -1); f != nil {
			sent.Set("finding", f[0][1])
		}
		if strings.HasSuffix(form[1], "/done") {
			sent.Set("note", "seen by torch")
		}
		s.sends(t, "anna", form[1], sent)
		if strings.HasSuffix(form[1], "/done") {
			wrote = sent.Get("finding")
			break
		}
	}
	services := s.records.Of(record.KindService)
	if len(services) != 1 || services[0].Source != "page: Anna" {
		t.Fatalf("after a finding of %q: %+v\n%s", wrote, services, body)
	}
	if answer, _ := s.as(t, "anna", post(to+"/sign", url.Values{"signed-by": {"K. Berg"}, "ticket": {"x"}})); answer.StatusCode != http.StatusConflict {
		t.Errorf("signed while it goes on: %s", answer.Status)
	}
	s.sends(t, "anna", to+"/end", nil)
	_, body = s.as(t, "anna", get(to))
	sign := formOf(t, body, to+"/sign")
	sign.Set("by", "Anna")
	if answer, body := s.as(t, "anna", post(to+"/sign", sign)); answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, "Please correct") {
		t.Errorf("signed by nobody: %s", answer.Status)
	}
	sign.Set("signed-by", "K. Berg")
	sign.Set("note", "thanks, 2.5 stars")
	var report string
	for range 2 {
		report = s.sends(t, "anna", to+"/sign", sign)
	}
	signed := s.records.Of(record.KindServiceReport)
	if len(signed) != 1 {
		t.Fatalf("%d reports", len(signed))
	}
	if r := signed[0].Body.(record.ServiceReport); r.Visit != moved.ID || r.By != "Anna" || len(r.Done) != 1 || r.Done[0].Record != services[0].ID || r.Done[0].Note != "seen by torch" || r.Done[0].Next.IsZero() {
		t.Errorf("the report is %+v", r)
	}
	for _, path := range []string{report, strings.Replace(report, "/reports/", "/print/visit/", 1)} {
		_, body = s.as(t, "anna", get(path))
		holds(t, body, "Service report", "K. Berg", "seen by torch", "thanks, 2.5 stars", "record "+itoa(services[0].ID))
		if strings.Contains(body, "Put right since") {
			t.Error("nothing was put right yet")
		}
	}

	// What was wrong is put right by records of its own, and the report says so.
	_, body = s.as(t, "anna", get(at+"/history/"+itoa(services[0].ID)+"/take-back"))
	s.sends(t, "anna", at+"/history/"+itoa(services[0].ID)+"/take-back", formOf(t, body, at+"/history/"+itoa(services[0].ID)+"/take-back"))
	task := services[0].Body.(record.Service).Task
	s.sends(t, "anna", at+"/tasks/"+task+"/done", url.Values{"ticket": {"again-1"}, "date": {record.DateOf(noon).String()}})
	_, body = s.as(t, "anna", get(report))
	holds(t, body, "Put right since it was signed", "taken back", "takes back record "+itoa(services[0].ID), "seen by torch")
	if n := strings.Count(body, "<li><time"); n != 2 {
		t.Errorf("%d corrections are told", n)
	}
	if answer, _ := s.as(t, "anna", get(at+"/history/"+itoa(signed[0].ID)+"/take-back")); answer.StatusCode != http.StatusConflict {
		t.Errorf("a report that was signed can be taken back: %s", answer.Status)
	}
	_, body = s.as(t, "anna", get(at+"/visits"))
	holds(t, body, "Reports that were signed", "2 put right since")
}

// itemFormAt is the form of an item of a checklist below a place.
var itemFormAt = regexp.MustCompile(`(?s)<form method="post" action="(/at/[^"]+/sitting/[^"]+/(?:tick|start|done|leave))".*?</form>`)

// A place is handed over to a technician by a link that its owner makes and withdraws on
// the page of people; they come to no other place, and out with the withdrawal.
func TestPlaceIsHandedOverAndTakenBack(t *testing.T) {
	people := guests{}
	s := roundStreet(t, people, "blue", "red")
	_, body := s.as(t, "owner", get("/people"))
	holds(t, body, "Nobody but you may come in.", `name="at:blue"`, "Café red")
	answer, body := s.as(t, "owner", post("/people", url.Values{"who": {"Bea <b>"}, "role": {"technician"}, "at:blue": {"yes"}}))
	if answer.StatusCode != http.StatusOK || answer.Header.Get("Cache-Control") != "no-store" {
		t.Fatalf("%s, %q", answer.Status, answer.Header.Get("Cache-Control"))
	}
	holds(t, body, "/invited/secret-link", "It is shown this once", `class="qr"`, "Bea &lt;b&gt;")
	if _, again := s.as(t, "owner", get("/people")); strings.Contains(again, "secret-link") {
		t.Error("the link is shown again")
	}
	if answer, _ := s.as(t, "owner", post("/people", url.Values{"who": {"Bea"}, "role": {"owner"}})); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("somebody is let in as owner: %s", answer.Status)
	}
	people["bea"] = people["Bea <b>"] // she came in
	for path, status := range map[string]int{"/": 200, "/at/blue/plan": 200, "/at/red/plan": 403, "/people": 403, "/at/blue/settings": 403, "/round": 200} {
		answer, body := s.as(t, "bea", get(path))
		if answer.StatusCode != status {
			t.Errorf("%s: %s", path, answer.Status)
		}
		if strings.Contains(body, "Café red") && status == 200 {
			t.Errorf("%s tells of a place that is not hers", path)
		}
		if strings.Contains(body, `href="/people"`) || strings.Contains(body, `href="/places/calendar"`) {
			t.Errorf("%s leads to what is not hers", path)
		}
	}
	if answer, _ := s.as(t, "bea", post("/round/book", url.Values{"visit": {"red 2026-03-10 09:00 60 machine/descale/brew"}, "ticket": {"t"}})); answer.StatusCode != http.StatusUnprocessableEntity || len(s.records.Of(record.KindBookedVisit)) != 0 {
		t.Errorf("a visit is booked at a place that is not hers: %s", answer.Status)
	}
	// Changed to a reader of both, and withdrawn.
	prefix := url.QueryEscape("Bea <b>") + "-"
	s.sends(t, "owner", "/people/change", url.Values{"name": {"Bea <b>"}, prefix + "role": {"reader"}})
	if who := people["Bea <b>"]; who.Role != roles.Reader || len(who.Places) != 0 {
		t.Errorf("changed to %+v", who)
	}
	s.sends(t, "owner", "/people/remove", url.Values{"name": {"Bea <b>"}})
	if people["Bea <b>"] != nil {
		t.Error("she may still come in")
	}
	delete(people, "bea")
	if answer, _ := s.as(t, "owner", post("/people/remove", url.Values{"name": {"Bea <b>"}})); answer.StatusCode != http.StatusNotFound {
		t.Errorf("withdrawn twice: %s", answer.Status)
	}
}

// The van is counted on its page, by names that the list has.
func TestVanPage(t *testing.T) {
	s := roundStreet(t, guests{"anna": {Name: "Anna", Role: roles.Technician}}, "blue")
	_, body := s.as(t, "anna", get("/van"))
	holds(t, body, "Nothing was counted yet.", "drop test")
	form := formOf(t, body, "/van")
	for _, wrong := range []url.Values{{"item": {"teapot"}, "what": {"count"}, "number": {"2"}}, {"item": {"gasket"}, "what": {"count"}, "number": {"-1"}}, {"item": {"gasket"}, "what": {"lead"}, "number": {"a week"}}} {
		wrong["ticket"] = form["ticket"]
		if answer, _ := s.as(t, "anna", post("/van", wrong)); answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%v: %s", wrong, answer.Status)
		}
	}
	form.Set("item", "gasket")
	form.Set("what", "count")
	form.Set("number", "3")
	_, body = s.as(t, "anna", get(s.sends(t, "anna", "/van", form)))
	holds(t, body, "Written down: gasket", "3 × gasket")
	if kept := s.records.Of(record.KindStock); len(kept) != 1 || kept[0].Place != round.VanPlace || kept[0].Source != "page: Anna" {
		t.Errorf("kept: %+v", kept)
	}
}

// The round has a calendar of its own, of what is booked alone.
func TestCalendarOfTheRound(t *testing.T) {
	s := roundStreet(t, guests{}, "blue")
	_, body := s.as(t, "owner", get("/round"))
	s.sends(t, "owner", "/round/book", formOf(t, body, "/round/book"))
	feed := ""
	for range 2000 {
		var answer *http.Response
		if answer, feed = ask(t, s.h, get("/calendar/secret-of-all-places/equipment/round.ics")); answer.StatusCode != http.StatusOK {
			t.Fatal(answer.Status)
		}
		if strings.Contains(feed, "BEGIN:VEVENT") {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	holds(t, feed, "SUMMARY:Café blue: Visit of the technician", "blue.booked.", "TZID=Europe/Vienna")
	if n := strings.Count(feed, "BEGIN:VEVENT"); n != 1 {
		t.Errorf("%d events", n)
	}
	if answer, _ := ask(t, s.h, get("/calendar/another-secret-of-nobody/equipment/round.ics")); answer.StatusCode == http.StatusOK {
		t.Error("another secret opens it")
	}
}

func itoa(n int64) string { return strconv.FormatInt(n, 10) }
