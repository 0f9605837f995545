package agenda

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
	"limekeep/schedule/say/customary"
)

// SittingEntry is a sitting in the calendar: one entry for all that is done in it.
// It keeps its UID while the sitting lives, also when it moves and when tasks join
// or leave.
type SittingEntry struct {
	UID       string
	Summary   string // the weightiest work, how much more, and the minutes
	Sitting   day.SittingInfo
	Tasks     []EntryTask
	Tentative bool // the windows of all its tasks are wide
	Alarms    []time.Duration
	Told      customary.Units // in what its quantities are told
	Sequence  int             // how often its content changed since it was first published
	Changed   time.Time       // publication that last changed it
}

// EntryTask is what an entry of several tasks says of one.
type EntryTask struct {
	UID       string // that the task alone goes by
	Task      string // id
	Title     string
	Equipment string // id
	Name      string // of the equipment, for people
	Unnamed   bool   // its title says enough: the place has no other of its kind
	Says      string // why now
}

// shown returns what an entry shows of tasks: their own UIDs are not among it.
func shown(tasks []EntryTask) []EntryTask {
	tasks = slices.Clone(tasks)
	for i := range tasks {
		tasks[i].UID = ""
	}
	return tasks
}

// addGroups adds an entry for each sitting and each visit that holds the next turn
// of a task: later turns alone are not worth an appointment yet. Then it adds what
// was done, day by day.
func (a *Agenda) addGroups(f *day.Forecast, published map[string]record.PublishedSitting) {
	g := groupsOf(f.Day.Book, published)
	a.addBookedGroups(f, g)
	for _, s := range f.Sittings() {
		if hasNext(s.Turns) {
			a.Sittings = append(a.Sittings, a.sittingEntry(f, s))
		}
	}
	for _, v := range f.Appointments() {
		if hasNext(v.Turns) {
			a.Visits = append(a.Visits, a.visitEntry(f, v))
		}
	}
	var all []record.PublishedGroup
	for _, e := range a.Sittings {
		all = append(all, record.PublishedGroup{Kind: record.SittingGroup, Start: e.Sitting.Start, Tasks: uidsOf(e.Tasks)})
	}
	for _, e := range a.Visits {
		all = append(all, record.PublishedGroup{Kind: record.VisitGroup, Of: e.Visit.Equipment, Start: e.Day.In(a.Zone), Tasks: uidsOf(e.Tasks)})
	}
	uids := g.claims(a.Place, all)
	for i := range a.Sittings {
		e := &a.Sittings[i]
		e.UID = uids[i]
		e.Sequence, e.Changed = a.stamp(e.UID, e.Content(), published)
	}
	for i := range a.Visits {
		e := &a.Visits[i]
		e.UID = uids[len(a.Sittings)+i]
		if was, ok := published[e.UID]; ok && e.Visit.CallBy <= a.Today {
			e.Day = a.calledOn(record.DateOf(was.Start.In(a.Zone)))
		}
		e.Sequence, e.Changed = a.stamp(e.UID, e.Content(), published)
	}
	a.addDoneDays(g)
	a.given = g.given
}

func hasNext(turns []plan.Turn) bool {
	return slices.ContainsFunc(turns, func(t plan.Turn) bool { return t.Number == 1 })
}

// sittingEntry makes the entry of a sitting, but for what the last publication
// says of it.
func (a *Agenda) sittingEntry(f *day.Forecast, s plan.Sitting) SittingEntry {
	e := SittingEntry{Sitting: f.Sitting(s), Alarms: a.alarms.TimedBefore(), Told: a.told, Tentative: true}
	e.Tasks = a.entryTasks(f, s.Turns, func(t plan.Turn, anew bool) string { return a.reason(f, s, t, anew) })
	for _, t := range s.Turns {
		if i := a.entryOf(t.Task); t.Number == 1 && i >= 0 && !a.Entries[i].Tentative {
			e.Tentative = false
		}
	}
	e.Summary = e.summary()
	return e
}

// entryTasks tells of each turn what an entry says of it. The sentence on a
// task's window is the one that its own entry shows, which small news leave as it
// is.
func (a *Agenda) entryTasks(f *day.Forecast, turns []plan.Turn, reason func(turn plan.Turn, anew bool) string) []EntryTask {
	var tasks []EntryTask
	for _, turn := range turns {
		x, err := f.Outcome(turn.Task)
		if err != nil {
			continue // cannot be: the plan was made from the outcomes
		}
		t := EntryTask{UID: entryUID(a.Place, turn.Task, x.Served), Task: turn.Task, Title: x.Duty.Title, Equipment: x.Duty.Equipment.ID, Name: x.Duty.Equipment.Title()}
		t.Unnamed = a.telling[t.Equipment] == ""
		anew := false
		if i := a.entryOf(turn.Task); turn.Number == 1 && i >= 0 {
			t.Says = a.Entries[i].Due.WindowSentence()
			was, ok := a.says[t.UID]
			anew = ok && was != t.Says
		} else {
			t.UID += fmt.Sprintf(".%d", turn.Number)
			if turn.Number > 1 {
				t.Says = comesAgain
			}
		}
		if why := reason(turn, anew); why != "" {
			t.Says = strings.TrimSpace(t.Says + " " + why)
		}
		tasks = append(tasks, t)
	}
	return tasks
}

// comesAgain is said of turns after the next one: their windows are too wide to be told.
const comesAgain = "By then it comes round again."

// entryOf finds the entry of a task alone.
func (a *Agenda) entryOf(task string) int {
	return slices.IndexFunc(a.Entries, func(e AgendaEntry) bool { return e.Due.Task == task && !e.Order && e.EveryDays == 0 })
}

func uidsOf(tasks []EntryTask) []string {
	uids := make([]string, len(tasks))
	for i, t := range tasks {
		uids[i] = t.UID
	}
	return uids
}

// alwaysNamed begin the ids of tasks that a summary names whatever else is done:
// what people look for in their calendar by its trade word.
var alwaysNamed = []string{"descale", "burr", "backflush"}

// namedTasks is how many tasks a summary names at least, where there are so many.
const namedTasks = 3

// sittingSummary names the weightiest work of a sitting, with its minutes.
func (e *SittingEntry) summary() string {
	turns := slices.Clone(e.Sitting.Turns)
	for i, turn := range turns {
		for _, t := range e.Tasks {
			if t.Task == turn.Task && !t.Unnamed {
				turns[i].Title = say.OfTask(turn.Title, t.Name) // which of several
			}
		}
	}
	return fmt.Sprintf("%s (%.0f min)", nameTurns(turns), e.Sitting.Minutes)
}

// nameTurns names the weightiest of some tasks, and counts the others.
func nameTurns(all []day.TurnInfo) string {
	rank := func(t day.TurnInfo) int {
		for i, word := range alwaysNamed {
			if slices.ContainsFunc(strings.Split(t.Task, "/"), func(part string) bool { return strings.HasPrefix(part, word) }) {
				return i
			}
		}
		return len(alwaysNamed)
	}
	turns := slices.Clone(all)
	for i, t := range turns {
		if slices.ContainsFunc(all, func(o day.TurnInfo) bool { return o.Title == t.Title && o.Name != t.Name }) {
			turns[i].Title = say.OfTask(t.Title, t.Name) // two machines have it done
		}
	}
	slices.SortStableFunc(turns, func(x, y day.TurnInfo) int {
		return cmp.Or(cmp.Compare(rank(x), rank(y)), cmp.Compare(y.Minutes, x.Minutes))
	})
	var named []string
	for i, t := range turns {
		if i < namedTasks || rank(t) < len(alwaysNamed) || len(turns) == namedTasks+1 {
			named = append(named, t.Title)
		}
	}
	text := strings.Join(named, "; ")
	if more := len(turns) - len(named); more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// Content is a fingerprint of all that the entry shows.
func (e SittingEntry) Content() string {
	return fingerprint(struct {
		Start     time.Time
		Minutes   float64
		Summary   string
		Tentative bool
		Tasks     []EntryTask
		Steps     []day.StepInfo
		Parts     []string
		Tools     []string
		Safety    day.SittingSafety
		Alarms    []time.Duration
		Told      string `json:",omitempty"`
	}{e.Sitting.Start, e.Sitting.Minutes, e.Summary, e.Tentative, shown(e.Tasks), e.Sitting.Steps, e.Sitting.Parts, e.Sitting.Tools, e.Sitting.SittingSafety, e.Alarms, e.Told.String()})
}
