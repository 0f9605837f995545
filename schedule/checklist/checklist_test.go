package checklist_test

import (
	"errors"
	"testing"
	"time"

	"limekeep/schedule/checklist"
)

var nine = time.Date(2026, time.March, 7, 9, 0, 0, 0, time.UTC)

func after(minutes float64) time.Time {
	return nine.Add(time.Duration(minutes * float64(time.Minute)))
}

// acid is a descaling, a hose changed beside it while the acid stands, and a machine
// that is switched on in the end.
func acid() checklist.Checklist {
	return checklist.Checklist{Begun: nine, Items: []checklist.Item{
		0: {Kind: checklist.SwitchOff, Of: "machine", Says: "off"},
		1: {Kind: checklist.Cooling, Of: "machine", Minutes: 40},
		2: {Kind: checklist.MakeSafe},
		3: {Kind: checklist.Work, Task: "descale", Of: "machine", From: 40, Needs: []int{2}},
		4: {Kind: checklist.Wait, Task: "descale", Of: "machine", From: 50, Minutes: 25},
		5: {Kind: checklist.MakeSafe},
		6: {Kind: checklist.Work, Task: "hose", Of: "tap", From: 50, Last: true, Needs: []int{5}},
		7: {Kind: checklist.Work, Task: "descale", Of: "machine", From: 75, Last: true, Known: 7, Needs: []int{2}},
		8: {Kind: checklist.SwitchOn, Of: "machine", From: 90},
		9: {Kind: checklist.Heating, Of: "machine", From: 90, Minutes: 20},
	}}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// The order of the work is that of the timetable; while something cools or stands in
// acid, other work goes on, and what waits for it does not.
func TestChecklistLeadsThroughTheWork(t *testing.T) {
	c := acid()
	at := func(minutes float64, want int) {
		t.Helper()
		if got := c.Current(after(minutes)); got != want {
			t.Fatalf("after %g minutes item %d is to be done, want %d", minutes, got, want)
		}
	}
	at(0, 0)
	must(t, c.Tick(0, after(1))) // cooling starts by itself
	if until := c.Items[1].Until(); until != after(41) {
		t.Errorf("it cools until %s", until)
	}
	at(2, 2) // what is to be confirmed is of no machine in particular
	at(41, 1)
	must(t, c.Tick(1, after(41)))
	must(t, c.Tick(2, after(42)))
	at(43, 3)
	must(t, c.Tick(3, after(50))) // and so does the acid's wait
	at(51, 5)
	must(t, c.Tick(5, after(52)))
	at(53, 6)
	must(t, c.Written(6, 20, after(60)))
	at(61, 8)                     // the descaling goes on when the acid has stood; nothing keeps the switch
	at(75, 4)                     // 25 minutes after it began
	must(t, c.Tick(4, after(76))) // whatever the clock said in between
	at(77, 7)
	must(t, c.Written(7, 21, after(80)))
	at(81, 8)
	must(t, c.Tick(8, after(82)))
	at(83, -1) // it heats up
	at(102, 9)
	must(t, c.Tick(9, after(103)))
	at(104, -1)
	if done, left, all := c.Tasks(); done != 2 || left != 0 || all != 2 {
		t.Errorf("%d done and %d left out of %d", done, left, all)
	}
}

// Nothing that needs something made safe can be ticked, written down or sent twice
// before that is confirmed, and nothing at all once the sitting is over.
func TestChecklistAsksForSafetyFirst(t *testing.T) {
	c := acid()
	var unsafe *checklist.NotSafeError
	if err := c.Tick(3, nine); !errors.As(err, &unsafe) {
		t.Errorf("acid before it was made safe: %v", err)
	}
	if err := c.Written(6, 20, nine); !errors.As(err, &unsafe) || c.Items[6].Record != 0 {
		t.Errorf("a hose before it was made safe: %v", err)
	}
	must(t, c.Tick(2, nine))
	must(t, c.Tick(3, after(1)))
	must(t, c.Tick(3, after(5)))
	if c.Items[3].Done != after(1) || c.Items[4].Started != after(1) {
		t.Error("ticked twice it is another")
	}
	must(t, c.Reopen(2))
	if err := c.Written(7, 21, nine); !errors.As(err, &unsafe) {
		t.Errorf("acid after safety was taken back: %v", err)
	}
	var out *checklist.OutOfRangeError
	for name, err := range map[string]error{
		"no such item": c.Tick(10, nine), "before the first": c.Tick(-1, nine), "a task by a tick": c.Tick(6, nine),
		"work as a wait": c.Start(3, nine), "safety left out": c.Leave(5),
	} {
		if !errors.As(err, &out) {
			t.Errorf("%s: %v", name, err)
		}
	}
	c.End(after(9))
	c.End(after(10))
	if err := c.Tick(5, after(11)); !errors.As(err, &out) || c.Ended != after(9) {
		t.Errorf("after its end: %v, ended %s", err, c.Ended)
	}
}

// A task is left out as a whole and comes back as a whole; what was written down
// elsewhere counts, and what was taken back is open again.
func TestChecklistFollowsTheRecords(t *testing.T) {
	c := acid()
	must(t, c.Leave(3))
	for i, want := range map[int]bool{3: true, 4: true, 7: true, 6: false} {
		if c.Items[i].Left != want {
			t.Errorf("item %d is left out: %t", i, !want)
		}
	}
	must(t, c.Reopen(7))
	if c.Items[3].Left || c.Items[7].Left {
		t.Error("it is still left out")
	}
	records := map[string][]int64{"descale": {5, 7}}
	services := func(task string) []int64 { return records[task] }
	if c.Follow(services, nine) {
		t.Error("what was done before counts")
	}
	records["descale"] = append(records["descale"], 30)
	if !c.Follow(services, after(3)) || c.Items[7].Record != 30 || c.Items[7].Done != after(3) {
		t.Errorf("%+v", c.Items[7])
	}
	if err := c.Reopen(7); err == nil {
		t.Error("what is written down was opened by a tick")
	}
	records["descale"] = records["descale"][:2]
	if !c.Follow(services, after(4)) || !c.Items[7].Open() {
		t.Error("taken back it is still done")
	}
}
