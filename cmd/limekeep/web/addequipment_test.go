package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// answer goes through questions as a browser without scripts does, answering each by
// its id, else that nobody knows, and returns the page of all answers.
func answer(t *testing.T, h http.Handler, path string, known map[string]string) (review string) {
	t.Helper()
	for range 30 {
		got, body := ask(t, h, get(path))
		if got.StatusCode == http.StatusSeeOther {
			path = got.Header.Get("Location")
			continue
		}
		if got.StatusCode != http.StatusOK {
			t.Fatalf("%s: status %d\n%s", path, got.StatusCode, body)
		}
		if strings.Contains(body, `method="post"`) && strings.Contains(body, "Nothing is written down yet") {
			return body
		}
		_, after, _ := strings.Cut(body, `<form method="get"`)
		within, _, _ := strings.Cut(after, "</form>")
		values := formValues(t, within)
		id := values.Get("asked")
		if id == "" {
			t.Fatalf("%s asks nothing:\n%s", path, body)
		}
		values.Del("unknown") // the button that was not pressed
		if is, ok := known[id]; ok {
			values.Set(id, is)
		} else {
			values.Set("unknown", id)
		}
		path = strings.SplitN(path, "?", 2)[0] + "?" + values.Encode()
	}
	t.Fatal("it never ends")
	return ""
}

// added answers questions and sends what follows.
func added(t *testing.T, h http.Handler, what string, known map[string]string) (page string, sent url.Values) {
	t.Helper()
	review := answer(t, h, "/settings/add/"+what, known)
	_, after, _ := strings.Cut(review, `<form method="post"`)
	within, _, _ := strings.Cut(after, "</form>")
	sent = formValues(t, within)
	got, body := ask(t, h, post("/settings/add/"+what, sent))
	if got.StatusCode != http.StatusSeeOther {
		t.Fatalf("%s: status %d\n%s", what, got.StatusCode, body)
	}
	_, page = ask(t, h, get(got.Header.Get("Location")))
	return page, sent
}

func newest(records *sample.Records) record.Equipment {
	all := records.Of(record.KindEquipment)
	return all[len(all)-1].Body.(record.Equipment)
}

// A machine with water of its own, a grinder, a cartridge and tools are added one after
// the other by questions; each is there, falls due, and is written down once.
func TestEquipmentIsAddedByQuestions(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	_, list := ask(t, h, get("/settings/add"))
	holds(t, list, `href="/settings/add/machine"`, `href="/settings/add/grinder"`, `href="/settings/add/cartridge"`, `href="/settings/add/water-line"`, `href="/settings/add/tools"`)
	page, sent := added(t, h, "machine", map[string]string{"name": hostileName, "layout": "lever", "line": "new", "supply": "tank", "groups": "2", "came": "new", "since": "2026-01"})
	holds(t, page, `role="status"`, "Written down as record")
	if strings.Contains(page, hostileName) {
		t.Error("a name is shown as it stands")
	}
	lever := record.Equipment{}
	for _, e := range records.Of(record.KindEquipment) {
		if e := e.Body.(record.Equipment); e.Name == hostileName {
			lever = e
		}
	}
	if lever.Machine == nil || lever.ID != "machine" || len(lever.Machine.Groups) != 2 || lever.Machine.Line != "water" || lever.Used || lever.Bought != record.NewDate(2026, 1, 15) {
		t.Errorf("added: %+v", lever)
	}
	if due := desk.Forecast(t, schedule.Moment{}).Due(); !strings.Contains(due[0].Task+due[len(due)-1].Task, "/") {
		t.Errorf("nothing falls due: %v", due)
	}
	last := records.Last().ID
	if got, _ := ask(t, h, post("/settings/add/machine", sent)); got.StatusCode != http.StatusSeeOther || records.Last().ID != last {
		t.Errorf("sent again: status %d, record %d", got.StatusCode, records.Last().ID)
	}
	added(t, h, "grinder", map[string]string{"name": "Second", "grinder": "hand", "serves": "machine", "came": "new"})
	if e := newest(records); e.Grinder == nil || e.ID != "grinder-2" || e.Grinder.Drive != record.HandDriven || len(e.Grinder.Serves) != 1 || e.Grinder.Serves[0] != "machine" {
		t.Errorf("added: %+v", e)
	}
	added(t, h, "cartridge", map[string]string{"line": "water", "filter": "decarboniser", "fitted": "2026-02-01", "litres": "200"})
	if e := newest(records); e.ID != "water" || len(e.Line.Treatment) != 1 || e.Line.Treatment[0].Kind != record.Decarboniser || e.Line.Treatment[0].RatedLitres != 200 {
		t.Errorf("added: %+v", e.Line)
	}
	added(t, h, "water-line", map[string]string{"supply": "mains"})
	keep(t, h, "/settings/add/tools", "/settings/add/tools", map[string]string{"have-scale": "yes"})
	if e := newest(records); e.Tools == nil || len(e.Tools.Have) != 1 {
		t.Errorf("added: %+v", e)
	}
	if _, body := ask(t, h, get("/equipment")); !strings.Contains(body, "Second") {
		t.Error("what was added is not among the equipment")
	}
}

// What cannot be an answer is asked again, with a word; what nobody can add is no page.
func TestAddingAsksAgain(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk)
	for _, c := range []struct {
		path   string
		status int
		says   string
	}{
		{"/settings/add/machine?asked=name&name=" + strings.Repeat("x", 201), 422, "at most 200 characters"},
		{"/settings/add/machine?name=x&asked=layout", 422, "Choose one"},
		{"/settings/add/machine?name=x&asked=layout&layout=rocket", 422, "one of"},
		{"/settings/add/rocket", 404, "no page"},
	} {
		got, body := ask(t, h, get(c.path))
		if got.StatusCode != c.status {
			t.Errorf("%.60s: status %d", c.path, got.StatusCode)
		}
		holds(t, body, c.says)
	}
	if got, _ := ask(t, h, post("/settings/add/machine", url.Values{"name": {"x"}})); got.StatusCode != http.StatusSeeOther || !strings.HasPrefix(got.Header.Get("Location"), "/settings/add/machine?name=x") {
		t.Errorf("half answered: status %d to %s", got.StatusCode, got.Header.Get("Location"))
	}
}
