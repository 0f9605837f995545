package web_test

import (
	"net/http"
	"net/url"
	"testing"

	"limekeep/schedule/record"
)

// A limit is changed on the page of its task, which says what stands instead of what,
// and the catalogue's comes back at a tap.
func TestLimitIsChangedOnItsPage(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	const path = "/tasks/bench/group-gasket/group"
	_, body := ask(t, h, get(path))
	holds(t, body, "Its limit", "2920 h (1460 to 4380)")
	answer, body := ask(t, h, post(path+"/limit", url.Values{"limit-gauge": {"hours hot, as at 95 °C"}, "limit-usual": {"1000"}, "limit-by": {"maker"}, "limit-note": {"manual"}}))
	if answer.StatusCode != http.StatusSeeOther {
		t.Fatalf("status %d\n%s", answer.StatusCode, body)
	}
	own, ok := records.Last().Body.(record.OwnCare)
	if !ok || len(own.Changes) != 1 || own.Changes[0] != (record.CareChange{Task: "bench/group-gasket/group", Gauge: "hours hot, as at 95 °C", Usual: 1000, By: record.ByMaker, Note: "manual"}) {
		t.Fatalf("wrote %+v", records.Last().Body)
	}
	_, body = ask(t, h, get(answer.Header.Get("Location")))
	holds(t, body, "Written down as record", "the maker&#39;s figure of 1000 h stands instead of the catalogue&#39;s", "The catalogue’s limit again")
	for _, wrong := range []struct {
		form  url.Values
		input string
	}{
		{url.Values{"limit-gauge": {"hours hot, as at 95 °C"}}, "limit-usual"},
		{url.Values{"limit-gauge": {"hours hot, as at 95 °C"}, "limit-usual": {"5"}, "limit-low": {"9"}}, "limit-low"},
		{url.Values{"limit-gauge": {"hours hot, as at 95 °C"}, "limit-usual": {"a lot"}}, "limit-usual"},
		{url.Values{"limit-months": {"9000"}}, "limit-months"},
	} {
		answer, body := ask(t, h, post(path+"/limit", wrong.form))
		if answer.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("%v: status %d", wrong.form, answer.StatusCode)
		}
		holds(t, body, `aria-describedby="`+wrong.input+`-problem"`)
	}
	if answer, _ = ask(t, h, post(path+"/limit", url.Values{"limit-months": {"9"}})); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("an interval: status %d", answer.StatusCode)
	}
	if own = records.Last().Body.(record.OwnCare); len(own.Changes) != 1 || own.Changes[0].Months != 9 {
		t.Errorf("an interval is kept as %+v", own)
	}
	if answer, _ = ask(t, h, post(path+"/limit", url.Values{"limit-back": {"1"}})); answer.StatusCode != http.StatusSeeOther || len(records.Last().Body.(record.OwnCare).Changes) != 0 {
		t.Errorf("back: status %d, %+v", answer.StatusCode, records.Last().Body)
	}
}
