package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule"
	"limekeep/schedule/day"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// day returns a day of the year in which these tests take place.
func date(month, d int) record.Date { return record.NewDate(2026, time.Month(month), d) }

// Each form of the page writes its record down, and leads back to the page, which
// says so.
func TestUseIsWrittenDown(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	start := 0.0
	for _, c := range []struct {
		name string
		path string
		form url.Values
		want record.Body
		on   record.Date
		says string
	}{
		{"shots of a day", "/use/shots", url.Values{"shots-date": {"2026-03-02"}, "shots-shots": {"4"}, "shots-steamed": {"2"}, "shots-water": {"0,3"}},
			record.UseBatch{Machine: "bench", From: date(3, 2), To: date(3, 2), Rows: 1}, date(3, 2), "4 shots on 1 day count."},
		{"a day without, and no word of milk", "/use/shots", url.Values{"shots-date": {"2026-02-20"}, "shots-shots": {"0"}, "shots-note": {"in bed\r\nwith a cold"}},
			record.UseBatch{Machine: "bench", From: date(2, 20), To: date(2, 20), Rows: 1, Note: "in bed\nwith a cold", MilkUnsaid: true, HotWaterUnsaid: true}, date(2, 20), "in bed"},
		{"some days together", "/use/shots", url.Values{"shots-date": {"2026-02-16"}, "shots-to": {"2026-02-19"}, "shots-shots": {"18"}, "shots-steamed": {"6"}},
			record.UseBatch{Machine: "bench", From: date(2, 16), To: date(2, 19), Rows: 4, HotWaterUnsaid: true}, date(2, 16), "18 shots on 4 days count."},
		{"a bag", "/use/bag", url.Values{"bag-grams": {"250"}, "bag-date": {"2026-02-28"}, "bag-opened": {"2026-02-15"}, "bag-beans": {"house <blend>"}},
			record.Bag{Grinder: "grinder", Grams: 250, Opened: date(2, 15), Beans: "house <blend>"}, date(2, 28), "house &lt;blend&gt;"},
		{"a meter in cubic metres", "/use/meter", url.Values{"meter-reading": {"10.432"}, "meter-unit": {"m3"}, "meter-date": {"2026-02-01"}},
			record.MeterReading{Line: "tap", Litres: 10432}, date(2, 1), "meter at 10432 litres"},
		{"a meter that is changed", "/use/meter", url.Values{"meter-reading": {"10520"}, "meter-unit": {"litres"}, "meter-date": {"2026-03-01"}, "meter-new": {"0"}, "meter-rolls": {"100000"}},
			record.MeterReading{Line: "tap", Litres: 10520, NewStart: &start, RollsOverLitres: 100000}, date(3, 1), "new meter at 0"},
		{"guests to come", "/use/guests", url.Values{"guests-from": {"2026-04-03"}, "guests-to": {"2026-04-06"}, "guests-shots": {"8"}},
			record.Guests{From: date(4, 3), To: date(4, 6), Shots: 8}, date(3, 2), "8 shots a day more"},
		{"a holiday to come", "/use/away", url.Values{"away-from": {"2026-07-06"}, "away-to": {"2026-07-19"}, "away-note": {"lake"}},
			record.Away{From: date(7, 6), To: date(7, 19), Note: "lake"}, date(3, 2), "away from Mon 6 Jul 2026 to Sun 19 Jul 2026"},
		{"off until further notice, in frost", "/use/away", url.Values{"away-from": {"2026-03-02"}, "away-frost": {"yes"}},
			record.Away{From: date(3, 2), Frost: true}, date(3, 2), "until further notice, frost possible"},
	} {
		t.Run(c.name, func(t *testing.T) {
			answer, body := ask(t, h, post(c.path, c.form))
			last := records.Last()
			if want := fmt.Sprintf("/use?written=%d", last.ID); answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != want {
				t.Fatalf("status %d to %q, not 303 to %q\n%s", answer.StatusCode, answer.Header.Get("Location"), want, body)
			}
			if diff := cmp.Diff(c.want, last.Body); diff != "" {
				t.Errorf("another record was written:\n%s", diff)
			}
			if last.Effective != c.on || last.Source != "page" {
				t.Errorf("it is of %s, by %q", last.Effective, last.Source)
			}
			_, body = ask(t, h, get(answer.Header.Get("Location")))
			told, rest, _ := strings.Cut(body, `id="day"`)
			holds(t, told, fmt.Sprintf("Written down as record %d: ", last.ID), fmt.Sprintf("/history/%d/take-back", last.ID))
			holds(t, told, c.says)
			holds(t, rest, fmt.Sprintf("record %d · ", last.ID))
		})
	}
}

// A time away that was left open is ended from the page, once.
func TestTimeAwayEnds(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	if _, body := ask(t, h, get("/use")); strings.Contains(body, "/use/end") {
		t.Error("nobody is away, and coming back is offered")
	}
	w, err := desk.Journal.AddAway(context.Background(), desk.Day(t, schedule.Moment{}), record.Away{From: date(2, 20)})
	if err != nil {
		t.Fatal(err)
	}
	_, body := ask(t, h, get("/use"))
	holds(t, body, "A time away left open", fmt.Sprintf(`<option value="%d">`, w.Record), "away from 2026-02-20 until further notice")
	answer, _ := ask(t, h, post("/use/end", url.Values{"end-record": {fmt.Sprint(w.Record)}, "end-to": {"2026-03-01"}}))
	last := records.Last()
	if answer.StatusCode != http.StatusSeeOther || last.Body != record.Body(record.Away{From: date(2, 20), To: date(3, 1)}) {
		t.Fatalf("status %d, wrote %+v", answer.StatusCode, last.Body)
	}
	_, body = ask(t, h, get(answer.Header.Get("Location")))
	holds(t, body, fmt.Sprintf("Written down as record %d: away from Fri 20 Feb 2026 to Sun 1 Mar 2026", last.ID))
	if strings.Contains(body, "/use/end") {
		t.Error("coming back is still offered")
	}
	answer, body = ask(t, h, post("/use/end", url.Values{"end-record": {fmt.Sprint(w.Record)}, "end-to": {"2026-03-01"}}))
	if answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("ended twice: status %d", answer.StatusCode)
	}
	holds(t, body, "there is none", `id="end-record-problem"`)
}

func TestUseRefuses(t *testing.T) {
	desk, records := readKitchen(t)
	h := open(desk)
	kept := records.Last().ID
	for _, c := range []struct {
		name  string
		path  string
		form  url.Values
		input string
		holds []string
	}{
		{"no shots", "/use/shots", url.Values{"shots-date": {"2026-03-02"}, "shots-steamed": {"2"}}, "shots-shots", []string{"Shots: nothing is given; give a number, such as 4", `name="shots-steamed" value="2"`}},
		{"no number", "/use/shots", url.Values{"shots-date": {"2026-03-02"}, "shots-shots": {"four"}}, "shots-shots", []string{`value="four"`}},
		{"below none", "/use/shots", url.Values{"shots-date": {"2026-03-02"}, "shots-shots": {"-1"}}, "shots-shots", []string{`value="-1"`}},
		{"more milk than shots", "/use/shots", url.Values{"shots-date": {"2026-03-02"}, "shots-shots": {"2"}, "shots-steamed": {"3"}}, "shots-steamed", []string{"Of these with steamed milk", "no more than the shots"}},
		{"a flood", "/use/shots", url.Values{"shots-date": {"2026-03-02"}, "shots-shots": {"2"}, "shots-water": {"900"}}, "shots-water", []string{"0 to 200 litres"}},
		{"tomorrow", "/use/shots", url.Values{"shots-date": {"2026-03-03"}, "shots-shots": {"2"}}, "shots-date", []string{"not after today"}},
		{"to tomorrow", "/use/shots", url.Values{"shots-date": {"2026-03-01"}, "shots-to": {"2026-03-03"}, "shots-shots": {"2"}}, "shots-to", []string{"Last of several days", "not after today"}},
		{"backwards", "/use/shots", url.Values{"shots-date": {"2026-03-01"}, "shots-to": {"2026-02-27"}, "shots-shots": {"2"}}, "shots-to", []string{"not before the first"}},
		{"no bag", "/use/bag", url.Values{"bag-date": {"2026-03-01"}}, "bag-grams", []string{`id="form-bag" open`}},
		{"a truck", "/use/bag", url.Values{"bag-date": {"2026-03-01"}, "bag-grams": {"90000"}}, "bag-grams", []string{"1 to 30000 g"}},
		{"opened after it was finished", "/use/bag", url.Values{"bag-date": {"2026-03-01"}, "bag-grams": {"250"}, "bag-opened": {"2026-03-02"}}, "bag-opened", []string{"Day it was opened"}},
		{"a meter that cannot be", "/use/meter", url.Values{"meter-reading": {"-5"}, "meter-date": {"2026-03-01"}}, "meter-reading", []string{"What the meter shows", `id="form-meter" open`}},
		{"a unit that is none", "/use/meter", url.Values{"meter-reading": {"5"}, "meter-unit": {"barrels"}, "meter-date": {"2026-03-01"}}, "meter-unit", []string{"barrels"}},
		{"more than it holds", "/use/meter", url.Values{"meter-reading": {"500"}, "meter-rolls": {"100"}, "meter-date": {"2026-03-01"}}, "meter-reading", []string{"at which the meter begins again"}},
		{"guests who drink nothing", "/use/guests", url.Values{"guests-from": {"2026-04-01"}, "guests-shots": {"0"}}, "guests-shots", []string{"on top of the habit"}},
		{"guests who leave before they come", "/use/guests", url.Values{"guests-from": {"2026-04-03"}, "guests-to": {"2026-04-01"}, "guests-shots": {"3"}}, "guests-to", []string{"not before the first", `id="form-guests" open`}},
		{"back before gone", "/use/away", url.Values{"away-from": {"2026-04-03"}, "away-to": {"2026-04-01"}, "away-frost": {"yes"}}, "away-to", []string{`value="yes" checked`, `id="form-away" open`}},
		{"gone on no day", "/use/away", url.Values{"away-from": {"someday"}}, "away-from", []string{`value="someday"`}},
		{"back from nowhere", "/use/end", url.Values{"end-to": {"2026-03-01"}}, "end-record", []string{"one of the times away"}},
		{"hostile", "/use/bag", url.Values{"bag-date": {"2026-03-01"}, "bag-grams": {`"><script>`}, "bag-note": {"</textarea><script>"}}, "bag-grams", []string{"&#34;&gt;&lt;script&gt;", "&lt;/textarea&gt;"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			answer, body := ask(t, h, post(c.path, c.form))
			if answer.StatusCode != http.StatusUnprocessableEntity {
				t.Fatalf("status %d, not 422", answer.StatusCode)
			}
			holds(t, body, "Nothing was written yet", fmt.Sprintf(`aria-describedby="%s-problem"`, c.input), fmt.Sprintf(`id="%s-problem"`, c.input), fmt.Sprintf(`href="#%s"`, c.input))
			holds(t, body, c.holds...)
			if strings.Contains(withoutOwnScripts(body), "<script") {
				t.Error("what was typed became markup")
			}
			if records.Last().ID != kept {
				t.Error("something was written")
			}
		})
	}
	for path, status := range map[string]int{"/use/waltz": 404, "/use": 405} {
		if answer, _ := ask(t, h, post(path, url.Values{})); answer.StatusCode != status {
			t.Errorf("POST %s: status %d, not %d", path, answer.StatusCode, status)
		}
	}
}

// Two clicks are one entry: two would count twice.
func TestUseIsTakenOnce(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	_, body := ask(t, h, get("/use"))
	token := regexp.MustCompile(`name="ticket" value="([^"]+)"`).FindStringSubmatch(body)[1]
	var leads []string
	for range 2 {
		answer, _ := ask(t, h, post("/use/shots", url.Values{"shots-date": {"2026-03-02"}, "shots-shots": {"4"}, "ticket": {token}}))
		leads = append(leads, answer.Header.Get("Location"))
	}
	if leads[0] != leads[1] || len(records.Of(record.KindUse)) != 1 {
		t.Errorf("led to %v, %d entries", leads, len(records.Of(record.KindUse)))
	}
}

// The sums on the page are those of the desk.
func TestUsePageAddsUp(t *testing.T) {
	desk, _ := kitchen(t)
	ctx := context.Background()
	for _, u := range []journal.UseEntry{
		{From: date(2, 9), To: date(2, 15), Sum: record.UseRow{Shots: 42, Steamed: 10}},
		{From: date(2, 23), Sum: record.UseRow{Shots: 11}},
	} {
		if _, err := desk.Journal.AddUse(ctx, desk.Day(t, schedule.Moment{}), u); err != nil {
			t.Fatal(err)
		}
	}
	show, err := desk.Day(t, schedule.Moment{}).ShowUse(day.UseQuery{})
	if err != nil {
		t.Fatal(err)
	}
	_, body := ask(t, open(desk), get("/use"))
	_, weeks, _ := strings.Cut(body, `id="was"`)
	for _, p := range show.Periods {
		holds(t, weeks, fmt.Sprintf(`<time datetime="%s">`, p.From), p.RestsOn(), fmt.Sprintf("<td>%.0f</td>", p.Shots))
	}
	for _, s := range show.Sources {
		holds(t, weeks, fmt.Sprintf("%.0f shots", s.Shots))
	}
	for _, f := range show.Forecast {
		holds(t, weeks, fmt.Sprintf("%d days", f.Days), fmt.Sprintf("%.0f to %.0f", f.Shots.Low, f.Shots.High))
	}
	if !strings.Contains(weeks, "42 shots") {
		t.Error("the week that was written down does not add up")
	}
}

// An entry of which a log has the days counts for nothing, which is told at once.
func TestUseThatDoesNotCountIsTold(t *testing.T) {
	desk, records := kitchen(t)
	ctx := context.Background()
	rows := func(yield func(record.UseRow, error) bool) {
		yield(record.UseRow{Date: date(2, 25), Minute: -1, Shots: 3}, nil)
	}
	if _, err := records.AppendUse(ctx, record.Entry{Place: "home", Entered: noon, Source: "command", Body: record.UseBatch{Machine: "bench", From: date(2, 25), To: date(2, 25), File: "log.csv"}}, rows); err != nil {
		t.Fatal(err)
	}
	h := open(desk)
	answer, _ := ask(t, h, post("/use/shots", url.Values{"shots-date": {"2026-02-25"}, "shots-shots": {"5"}}))
	_, body := ask(t, h, get(answer.Header.Get("Location")))
	told, _, _ := strings.Cut(body, `id="day"`)
	holds(t, told, "0 shots on 0 days count; 1 day of it does not, since a more trusted record has it.")
}

// Where there is more than one machine, one is chosen.
func TestUseOfSeveralMachines(t *testing.T) {
	desk, records := kitchen(t, func(s *schedule.Setup) {
		second := s.Equipment[0]
		second.ID, second.Name = "lever", "Lever <in the hall>"
		s.Equipment = append(s.Equipment, second)
	})
	h := open(desk)
	_, body := ask(t, h, get("/use?machine=lever"))
	holds(t, body, `<option value="lever" selected>Lever &lt;in the hall&gt;</option>`, "The last weeks: Lever &lt;in the hall&gt;", "all of the place")
	answer, _ := ask(t, h, post("/use/shots", url.Values{"shots-machine": {"lever"}, "shots-date": {"2026-03-01"}, "shots-shots": {"3"}}))
	last := records.Last()
	if want := fmt.Sprintf("/use?machine=lever&written=%d", last.ID); answer.Header.Get("Location") != want || last.Body.(record.UseBatch).Machine != "lever" {
		t.Errorf("led to %q, not %q, and wrote %+v", answer.Header.Get("Location"), want, last.Body)
	}
	if answer, body = ask(t, h, post("/use/shots", url.Values{"shots-machine": {"moka"}, "shots-date": {"2026-03-01"}, "shots-shots": {"3"}})); answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a machine that is not there: status %d", answer.StatusCode)
	}
	holds(t, body, `id="shots-machine-problem"`)
	if answer, _ = ask(t, h, get("/use?machine=moka")); answer.StatusCode != http.StatusNotFound {
		t.Errorf("asked for a machine that is not there: status %d", answer.StatusCode)
	}
}

// A place with nothing but a tap has nothing to write down.
func TestUseWithoutAMachine(t *testing.T) {
	desk, records := kitchen(t, func(s *schedule.Setup) { s.Equipment = s.Equipment[2:] })
	h := open(desk)
	kept := records.Last().ID
	_, body := ask(t, h, get("/use"))
	holds(t, body, "There is no machine at this place")
	if answer, _ := ask(t, h, post("/use/bag", url.Values{"bag-grams": {"250"}, "bag-date": {"2026-03-01"}})); answer.StatusCode != http.StatusUnprocessableEntity || records.Last().ID != kept {
		t.Errorf("a bag without a grinder: status %d", answer.StatusCode)
	}
}
