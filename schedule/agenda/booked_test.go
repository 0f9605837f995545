package agenda_test

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/sample"
)

// bookedIn returns the one booked visit of an agenda.
func bookedIn(t *testing.T, a agenda.Agenda) agenda.BookedEntry {
	t.Helper()
	if len(a.Booked) != 1 {
		t.Fatalf("%d booked visits are in the agenda", len(a.Booked))
	}
	return a.Booked[0]
}

// What a visit was booked for stands at the visit in the plan and in the calendar, and in no
// sitting; moved it keeps its entry, withdrawn it is cancelled, and done it becomes what was
// done.
func TestBookedVisitGoesOut(t *testing.T) {
	ctx := context.Background()
	desk, _ := sample.LivedIn(t)
	f := desk.Forecast(t, schedule.Moment{})
	p := f.Plan()
	first := p.Sittings[0]
	on := record.DateOf(first.Start) + 3
	book := record.BookedVisit{On: on, At: "09:15", Minutes: 80, By: "Anna", Note: "key at the baker's"}
	for _, turn := range first.Turns {
		book.Tasks = append(book.Tasks, record.BookedTask{Task: turn.Task})
	}
	written, err := desk.Journal.BookVisit(ctx, f.Day, f, book)
	if err != nil {
		t.Fatal(err)
	}
	issue, err := desk.Publisher.Publish(ctx, schedule.Moment{})
	if err != nil {
		t.Fatal(err)
	}
	entry := bookedIn(t, issue.Agenda)
	if got := entry.Visit.Begins.Format("2006-01-02 15:04"); got != on.String()+" 09:15" || entry.Visit.Ends().Sub(entry.Visit.Begins).Minutes() != 80 {
		t.Errorf("it stands on %s for %v", got, entry.Visit.Minutes)
	}
	if !strings.HasPrefix(entry.Summary, "Visit of Anna: ") || len(entry.Cautions) == 0 || len(entry.Tasks) < len(first.Turns) {
		t.Errorf("the entry is %+v", entry)
	}
	tasks := entry.Visit.Tasks()
	for _, s := range issue.Agenda.Sittings {
		for _, turn := range s.Sitting.Turns {
			if slices.Contains(tasks, turn.Task) && (turn.Turn < 2 || record.DateOf(s.Sitting.Start) <= on) {
				t.Errorf("%s is in the sitting of %s as turn %d as well", turn.Task, s.Sitting.Start, turn.Turn)
			}
		}
	}
	alone := 0
	for _, e := range issue.Agenda.Entries {
		if slices.Contains(tasks, e.Due.Task) {
			alone++
			if !e.Start.Equal(entry.Visit.Begins) || e.Due.Booked == nil || e.Due.Booked.By != "Anna" {
				t.Errorf("%s alone is on %s, booked %+v", e.Due.Task, e.Start, e.Due.Booked)
			}
		}
	}
	if alone != len(entry.Tasks) {
		t.Errorf("%d of %d tasks have entries alone", alone, len(entry.Tasks))
	}
	if again, err := desk.Publisher.Publish(ctx, schedule.Moment{}); err != nil || again.Wrote {
		t.Errorf("published again it differs: %v, %v", again.Wrote, err)
	}

	// The same tasks cannot be booked a second time, nor moved one by one.
	f = desk.Forecast(t, schedule.Moment{})
	var wrong *record.FieldError
	if _, err := desk.Journal.BookVisit(ctx, f.Day, f, book); !errors.As(err, &wrong) {
		t.Errorf("booked twice: %v", err)
	}
	if _, err := desk.Journal.MoveTask(ctx, f.Day, first.Turns[0].Task, day.MoveTo, on+7); !errors.As(err, &wrong) {
		t.Errorf("moved alone: %v", err)
	}

	// Moved, it is the same entry with another content.
	moved, err := desk.Journal.MoveVisit(ctx, f.Day, f, written.Record, record.BookedVisit{On: on + 2, At: "14:00"})
	if err != nil {
		t.Fatal(err)
	}
	if issue, err = desk.Publisher.Publish(ctx, schedule.Moment{}); err != nil {
		t.Fatal(err)
	}
	after := bookedIn(t, issue.Agenda)
	if after.UID != entry.UID || after.Sequence != entry.Sequence+1 || after.Visit.On != on+2 || after.Visit.Minutes != 80 || after.Visit.By != "Anna" || !slices.Equal(after.Visit.Tasks(), tasks) {
		t.Errorf("moved it is %+v, was %+v", after, entry)
	}
	f = desk.Forecast(t, schedule.Moment{})
	if _, err := desk.Journal.MoveVisit(ctx, f.Day, f, written.Record, record.BookedVisit{On: on, At: "14:00"}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("what was moved already can be moved: %v", err)
	}

	// Withdrawn, it is cancelled, and its tasks are planned as if it had never been.
	if _, err := desk.Journal.WithdrawVisit(ctx, f.Day, moved.Record, "ill"); err != nil {
		t.Fatal(err)
	}
	if issue, err = desk.Publisher.Publish(ctx, schedule.Moment{}); err != nil {
		t.Fatal(err)
	}
	if len(issue.Agenda.Booked) != 0 {
		t.Errorf("withdrawn it is still there: %+v", issue.Agenda.Booked)
	}
	i := slices.IndexFunc(issue.Agenda.Cancelled, func(e agenda.CancelledEntry) bool { return e.UID == entry.UID })
	if i < 0 || !issue.Agenda.Cancelled[i].Booked || issue.Agenda.Cancelled[i].Sequence <= after.Sequence {
		t.Errorf("it is not cancelled: %+v", issue.Agenda.Cancelled)
	}
	planned := 0
	for _, d := range issue.Forecast.Due() {
		if slices.Contains(tasks, d.Task) && d.Booked == nil && (d.Sitting != nil || d.Visit != nil) {
			planned++
		}
	}
	if planned == 0 {
		t.Error("none of its tasks has a place in the plan")
	}
}

// What is done at a visit stands where the visit stood; what is missed goes back to the plan.
func TestBookedVisitDoneOrMissed(t *testing.T) {
	ctx := context.Background()
	desk, _ := sample.LivedIn(t)
	f := desk.Forecast(t, schedule.Moment{})
	var tasks []string
	for _, turn := range f.Plan().Sittings[0].Turns {
		if duty, err := f.Day.Duty(turn.Task); err == nil && !duty.Task.TestsWater() && duty.Task.Records == "" && len(turn.Covers) == 0 {
			tasks = append(tasks, turn.Task)
		}
	}
	if len(tasks) < 2 {
		t.Fatalf("the next sitting is %v", tasks)
	}
	tasks = tasks[:2]
	book := record.BookedVisit{On: f.Day.Today, At: "08:00", Minutes: 30}
	for _, id := range tasks {
		book.Tasks = append(book.Tasks, record.BookedTask{Task: id})
	}
	if _, err := desk.Journal.BookVisit(ctx, f.Day, f, book); err != nil {
		t.Fatal(err)
	}
	issue, err := desk.Publisher.Publish(ctx, schedule.Moment{})
	if err != nil {
		t.Fatal(err)
	}
	uid := bookedIn(t, issue.Agenda).UID
	done := func(task string) {
		if _, err := desk.Journal.Done(ctx, desk.Day(t, schedule.Moment{}), 0, record.Service{Task: task}); err != nil {
			t.Fatal(err)
		}
	}
	done(tasks[0])
	if issue, err = desk.Publisher.Publish(ctx, schedule.Moment{}); err != nil {
		t.Fatal(err)
	}
	if e := bookedIn(t, issue.Agenda); e.UID != uid || slices.Contains(e.Visit.Tasks(), tasks[0]) {
		t.Errorf("one of two done, it is %+v", e)
	}
	// A day later the other was missed.
	late := desk.Forecast(t, schedule.Moment{Today: f.Day.Today + 1})
	missed := late.Plan().Booked
	if len(missed) != 1 || !missed[0].Missed || !slices.Equal(missed[0].Tasks(), tasks[1:]) {
		t.Errorf("missed is %+v", missed)
	}
	if len(agenda.Of(late, false).Booked) != 0 || late.Positions().DayOf(tasks[1]).IsZero() {
		t.Error("what was missed holds its place, or has none")
	}
	done(tasks[1])
	if issue, err = desk.Publisher.Publish(ctx, schedule.Moment{}); err != nil {
		t.Fatal(err)
	}
	if len(issue.Agenda.Booked) != 0 || !slices.ContainsFunc(issue.Agenda.DoneDays, func(d agenda.DoneDay) bool { return d.On == f.Day.Today }) {
		t.Errorf("done: %+v, %d days", issue.Agenda.Booked, len(issue.Agenda.DoneDays))
	}
	if slices.ContainsFunc(issue.Agenda.Cancelled, func(e agenda.CancelledEntry) bool { return e.UID == uid && !e.Group }) {
		t.Error("what was done is cancelled")
	}
}
