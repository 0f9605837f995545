package web_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// A record is shown before it is taken back, and struck through afterwards.
func TestTakeARecordBack(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	done, err := desk.Journal.Done(context.Background(), desk.Day(t, schedule.Moment{}), 0, record.Service{Task: "group-gasket", Note: "the wrong machine"})
	if err != nil {
		t.Fatal(err)
	}
	path := fmt.Sprintf("/history/%d/take-back", done.Record)
	if _, body := ask(t, h, get("/history")); !strings.Contains(body, path) {
		t.Fatal("history shows no way to take the service back")
	}
	answer, body := ask(t, h, get(path))
	if answer.StatusCode != http.StatusOK || records.Last().ID != done.Record {
		t.Fatalf("status %d, and %d records", answer.StatusCode, records.Last().ID)
	}
	holds(t, body, "the wrong machine", `name="why"`, fmt.Sprintf("Take record %d back", done.Record))
	token := regexp.MustCompile(`name="ticket" value="([^"]+)"`).FindStringSubmatch(body)[1]
	for range 2 { // a second click leads to the same
		answer, _ = ask(t, h, post(path, url.Values{"why": {"it was\r\nmy neighbour's"}, "ticket": {token}}))
		last := records.Last()
		if want := fmt.Sprintf("/history?written=%d", last.ID); answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != want {
			t.Fatalf("status %d to %q, not 303 to %q", answer.StatusCode, answer.Header.Get("Location"), want)
		}
		if want := (record.Void{Record: done.Record, Why: "it was\nmy neighbour's"}); last.Body != record.Body(want) || len(records.Of(record.KindVoid)) != 1 {
			t.Errorf("wrote %+v", last.Body)
		}
	}
	_, body = ask(t, h, get(answer.Header.Get("Location")))
	holds(t, body, `role="status"`, fmt.Sprintf("record %d is void", done.Record), fmt.Sprintf("void, by record %d", records.Last().ID))
	if strings.Contains(body, path) || strings.Contains(body, fmt.Sprintf("/history/%d/take-back", records.Last().ID)) {
		t.Error("what is void, or makes void, can be taken back again")
	}
}

func TestWhatStaysCannotBeTakenBack(t *testing.T) {
	desk, records := kitchen(t)
	h := open(desk)
	ctx := context.Background()
	done, err := desk.Journal.Done(ctx, desk.Day(t, schedule.Moment{}), 0, record.Service{Task: "group-gasket"})
	if err != nil {
		t.Fatal(err)
	}
	void, err := desk.Journal.Void(ctx, desk.Day(t, schedule.Moment{}), done.Record, "")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, record string
		status       int
	}{
		{"the place", "1", 409}, {"the machine", "2", 409}, {"what is void", fmt.Sprint(done.Record), 409}, {"what makes void", fmt.Sprint(void.Record), 409},
		{"no such record", "99999", 404}, {"none at all", "0", 404}, {"no number", "last", 404}, {"a huge number", "99999999999999999999", 404},
	} {
		for _, r := range []*http.Request{get("/history/" + c.record + "/take-back"), post("/history/"+c.record+"/take-back", url.Values{})} {
			if answer, _ := ask(t, h, r); answer.StatusCode != c.status {
				t.Errorf("%s %s: status %d, not %d", r.Method, c.name, answer.StatusCode, c.status)
			}
		}
	}
	if done, err = desk.Journal.Done(ctx, desk.Day(t, schedule.Moment{}), 0, record.Service{Task: "group-gasket"}); err != nil {
		t.Fatal(err)
	}
	answer, body := ask(t, h, post(fmt.Sprintf("/history/%d/take-back", done.Record), url.Values{"why": {strings.Repeat("y", 1001)}}))
	if answer.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("an endless reason: status %d", answer.StatusCode)
	}
	holds(t, body, `aria-describedby="why-problem"`, "yyy</textarea>")
	if n := len(records.Of(record.KindVoid)); n != 1 {
		t.Errorf("%d records were taken back, not 1", n)
	}
}

// Where somebody else was quicker, the store refuses; that is nobody's fault.
func TestTakenBackInBetween(t *testing.T) {
	desk, records := kitchen(t)
	done, err := desk.Journal.Done(context.Background(), desk.Day(t, schedule.Moment{}), 0, record.Service{Task: "group-gasket"})
	if err != nil {
		t.Fatal(err)
	}
	desk.Records = &hasty{Records: records, of: done.Record}
	answer, body := ask(t, open(desk), post(fmt.Sprintf("/history/%d/take-back", done.Record), url.Values{}))
	if answer.StatusCode != http.StatusConflict {
		t.Errorf("status %d", answer.StatusCode)
	}
	holds(t, body, "Taken back already")
}

// hasty is records in which somebody takes one back just before everybody else
// does, and which refuse, as a store must, to do so twice.
type hasty struct {
	*sample.Records
	of int64
}

func (q *hasty) Append(ctx context.Context, entries ...record.Entry) ([]int64, error) {
	if v, ok := entries[0].Body.(record.Void); ok && v.Record == q.of {
		if _, err := q.Records.Append(ctx, entries...); err != nil {
			return nil, err
		}
		return nil, errors.New("it is void already")
	}
	return q.Records.Append(ctx, entries...)
}
