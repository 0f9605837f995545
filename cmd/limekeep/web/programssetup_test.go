package web_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"limekeep/cmd/limekeep/web"
	"limekeep/cmd/limekeep/web/api"
	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// asked is what a program reads of the questions of a set-up.
type asked struct {
	Place, Next string
	Questions   []struct {
		ID, Ask, Kind, Answer, Costs, Unknown string
		Options                               []struct{ Value, Label string }
	}
	Assumed []string
}

// setUpAnswered is what a program reads of the answer to a set-up.
type setUpAnswered struct {
	Place                   string
	Added, Changed, Retired []string
	Assumed, Next           []string
	Moved                   []struct{ Says string }
	WaterTests              []struct{ Record int64 } `json:"water_tests"`
	Status                  int
	Title, Detail           string
	Errors                  []struct{ Message, Location string }
}

// firstDay serves programs while nothing is set up.
func firstDay(t *testing.T) (http.Handler, *sample.Kitchen, *sample.Records) {
	t.Helper()
	k, records := sample.Empty(t)
	pages := &web.FirstDay{Catalogue: k.Catalogue, Now: time.Now, Today: record.NewDate(2026, 11, 27), Zone: "Europe/Lisbon",
		Programs: &api.SetUp{Days: k.Opener, Journal: k.Journal.From("program")}}
	return pages.Handler(), k, records
}

func fromHere(r *http.Request) *http.Request {
	r.RemoteAddr = "127.0.0.1:41000"
	return r
}

func send[T any](t *testing.T, h http.Handler, path, body string) (int, T) {
	t.Helper()
	answer, text := ask(t, h, fromHere(postJSON("/api/v1"+path, body)))
	var got T
	if err := json.Unmarshal([]byte(text), &got); err != nil {
		t.Fatalf("%s: status %d: %v\n%.300s", path, answer.StatusCode, err, text)
	}
	return answer.StatusCode, got
}

// From nothing to a place by programs alone: each question with its options and what not
// to know it costs, the answers so far kept by the program, and at the end what was
// assumed and the next three things to do. The description says all of it.
func TestProgramsSetAPlaceUp(t *testing.T) {
	h, k, records := firstDay(t)
	answer, text := ask(t, h, fromHere(get("/api/v1/openapi.json")))
	var d described
	if err := json.Unmarshal([]byte(text), &d); err != nil || answer.StatusCode != http.StatusOK {
		t.Fatalf("status %d: %v", answer.StatusCode, err)
	}
	if !strings.HasPrefix(d.OpenAPI, "3.1.") || d.Paths["/api/v1/setup"]["post"].OperationID != "set-up" || d.Paths["/api/v1/setup/questions"]["post"].OperationID == "" ||
		d.Components.Schemas["SetUpQuestion"].Properties["costs"] == nil || d.Components.Schemas["SetUpAnswer"].Properties["assumed"] == nil {
		t.Errorf("described: %v", d.Paths)
	}
	answers := map[string]string{}
	known := map[string]string{"layout": "two boilers", "cups": "12", "milk": "4", "hot": "0.5", "water": "test", "hardness": "14 dH", "alkalinity": "11 dH", "name": "The office"}
	steps := 0
	for ; steps < 50; steps++ {
		body, err := json.Marshal(map[string]any{"answers": answers})
		if err != nil {
			t.Fatal(err)
		}
		status, got := send[asked](t, h, "/setup/questions", string(body))
		if status != http.StatusOK || got.Place != "" {
			t.Fatalf("status %d, %+v", status, got)
		}
		if got.Next == "" {
			if len(got.Assumed) == 0 {
				t.Error("nothing is said of what is assumed")
			}
			break
		}
		for _, q := range got.Questions {
			if q.Ask == "" || q.Unknown == "" || (q.Kind == "choice") != (len(q.Options) > 0) || q.Answer != answers[q.ID] || (q.Costs != "") != (q.ID == got.Next) {
				t.Errorf("before %q: %+v", got.Next, q)
			}
		}
		answers[got.Next] = "?"
		if is, ok := known[got.Next]; ok {
			answers[got.Next] = is
		}
	}
	if steps < 15 || steps == 50 {
		t.Fatalf("%d questions", steps)
	}
	if records.Count() != 0 {
		t.Fatalf("asking wrote %d records", records.Count())
	}
	if status, got := send[setUpAnswered](t, h, "/setup", `{"answers": {"layout": "three boilers", "cups": "many", "colour": "red"}}`); status != http.StatusUnprocessableEntity || len(got.Errors) != 3 || records.Count() != 0 {
		t.Errorf("three mistakes: status %d, %+v", status, got)
	}
	body, err := json.Marshal(map[string]any{"answers": answers})
	if err != nil {
		t.Fatal(err)
	}
	status, got := send[setUpAnswered](t, h, "/setup", string(body))
	if status != http.StatusCreated || got.Place != "home" || len(got.Added) != 3 || len(got.Next) != 3 || len(got.WaterTests) != 1 {
		t.Errorf("status %d, %+v", status, got)
	}
	if all := strings.Join(got.Assumed, "\n"); !strings.Contains(all, "When did it come to you? Nobody said") || strings.Contains(all, "hot water") {
		t.Errorf("assumed: %s", all)
	}
	machine, err := k.Day(t, schedule.Moment{Today: record.NewDate(2026, 11, 27)}).Book.Find("machine")
	if err != nil || machine.Machine.Habit.HotWater() != 0.5 || records.Of(record.KindWaterTest)[0].Source != "program" {
		t.Errorf("kept: %+v", machine)
	}
}

// A place file sets up as well, nothing known is enough, and all that is wrong is told
// at once, each with its line.
func TestProgramsSetAPlaceUpByFile(t *testing.T) {
	h, _, records := firstDay(t)
	wrong := "place:\n  zone: Mars/Olympus\nequipment:\n  - machine:\n      layout: three boilers\n      habit: {steamed_share: 40}\n"
	file, err := json.Marshal(map[string]string{"place_file": wrong})
	if err != nil {
		t.Fatal(err)
	}
	status, got := send[setUpAnswered](t, h, "/setup", string(file))
	if status != http.StatusUnprocessableEntity || len(got.Errors) != 3 || !strings.HasPrefix(got.Errors[0].Message, "line 2: ") || records.Count() != 0 {
		t.Errorf("three mistakes: status %d, %+v", status, got)
	}
	for _, body := range []string{`{}`, `{"place_file": "{"}`, `{"place_file": "place: {zone: Etc/UTC}", "answers": {"cups": "3"}}`} {
		if status, got := send[setUpAnswered](t, h, "/setup", body); status != http.StatusUnprocessableEntity || records.Count() != 0 {
			t.Errorf("%s: status %d, %+v", body, status, got)
		}
	}
	if status, got := send[setUpAnswered](t, h, "/setup", `{"answers": {}}`); status != http.StatusCreated || len(got.Next) != 3 || len(got.Assumed) < 10 {
		t.Errorf("nothing known: status %d, %+v", status, got)
	}
}

// Where a place is there, nothing is set up anew; a place file changes it, and the answer
// says which dates moved.
func TestProgramsChangeASetUp(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	before := records.Count()
	if status, got := send[setUpAnswered](t, h, "/setup", `{"answers": {"cups": "3"}}`); status != http.StatusConflict || records.Count() != before {
		t.Errorf("a second set-up: status %d, %+v", status, got)
	}
	if status, got := send[asked](t, h, "/setup/questions", `{"answers": {}}`); status != http.StatusOK || got.Place == "" || len(got.Questions) == 0 {
		t.Errorf("the questions: status %d, %+v", status, got)
	}
	file := "place: {id: home, name: Kitchen, zone: Europe/Vienna}\nequipment:\n" +
		"  - {id: tap, water_line: {supply: mains}}\n" +
		"  - id: bench\n    bought: 2024-03-01\n    machine: {setting: home, water_line: tap, layout: two boilers, habit: {weekday_shots: 40, weekend_shots: 40, steamed_share: 0.5, hot_water_litres: 2}}\n"
	body, err := json.Marshal(map[string]string{"place_file": file})
	if err != nil {
		t.Fatal(err)
	}
	status, got := send[setUpAnswered](t, h, "/setup", string(body))
	if status != http.StatusCreated || len(got.Changed) == 0 || len(got.Retired) != 1 || len(got.Moved) == 0 || len(got.Next) != 3 {
		t.Errorf("a change: status %d, %+v", status, got)
	}
	if status, got := send[setUpAnswered](t, h, "/setup", strings.Replace(string(body), "id: home", "id: elsewhere", 1)); status != http.StatusUnprocessableEntity {
		t.Errorf("another place: status %d, %+v", status, got)
	}
}
