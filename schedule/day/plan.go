package day

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// Merge adds to sentences those that are not there yet.
func Merge(to, from []string) []string {
	for _, s := range from {
		if !slices.Contains(to, s) {
			to = append(to, s)
		}
	}
	return to
}

// PlanInfo is the plan of the months to come.
type PlanInfo struct {
	OwnCalendar string           `json:"own_calendar,omitempty"` // that it could not be read, and so blocks nothing
	Today       record.Date      `json:"today"`
	Until       record.Date      `json:"until"`
	CatchUp     *CatchUpInfo     `json:"catch_up"` // null where no weeks are needed for that
	Sittings    []SittingInfo    `json:"sittings"`
	Visits      []VisitInfo      `json:"visits"`      // of or to a workshop or licensed people
	Booked      []BookedInfo     `json:"booked"`      // visits that somebody gave their word for
	CannotMeet  []CannotMeetInfo `json:"cannot_meet"` // with the reason and a way out
	Orders      []OrderInfo      `json:"orders"`
	Rounds      []RoundInfo      `json:"routine"` // small tasks that come round within days
	Cost        PlanCost         `json:"cost"`
	Why         []string         `json:"why"` // plain sentences on the whole
}

// UpTo returns what the plan holds up to a day and on it. What it costs, and why, stay those of
// the whole.
func (p PlanInfo) UpTo(last record.Date) PlanInfo {
	if last >= p.Until {
		return p
	}
	p.Until = last
	p.Sittings = kept(p.Sittings, func(s SittingInfo) bool { return record.DateOf(s.Start) <= last })
	p.Visits = kept(p.Visits, func(v VisitInfo) bool { return v.CallBy <= last })
	p.Orders = kept(p.Orders, func(o OrderInfo) bool { return o.By <= last })
	p.CannotMeet = kept(p.CannotMeet, func(c CannotMeetInfo) bool {
		return c.On != nil && *c.On <= last || c.On == nil && (c.Late == nil || *c.Late <= last)
	})
	return p
}

// kept returns a list of its own of what is to be kept.
func kept[T any](all []T, keep func(T) bool) []T {
	return slices.DeleteFunc(slices.Clone(all), func(one T) bool { return !keep(one) })
}

// PlanCost is what the plan costs in minutes of the owner's time, by the prices
// of the planner, and how good it can be said to be.
type PlanCost struct {
	Whole    float64 `json:"whole"`
	Sittings float64 `json:"sittings"` // to begin them
	States   float64 `json:"states"`   // to cool, open, drain, shut off
	Harm     float64 `json:"harm"`     // of lateness, on the average over the worlds
	Waste    float64 `json:"waste"`    // of life thrown away
	Gap      float64 `json:"gap"`      // no plan is cheaper by a larger share than this
}

// SittingInfo is a planned hour.
type SittingInfo struct {
	Start   time.Time  `json:"start"`
	Minutes float64    `json:"minutes"`            // from its beginning to its end
	Room    float64    `json:"room"`               // minutes that the slot has
	Long    bool       `json:"long"`               // longer than the slot
	WhyLong string     `json:"why_long,omitempty"` // why it is, in part of a sentence
	Turns   []TurnInfo `json:"tasks"`              // in the order in which to do them
	Steps   []StepInfo `json:"timetable"`
	States  []string   `json:"states"` // brought about for it, each once
	Parts   []string   `json:"parts"`  // and consumables, which it uses up
	Tools   []string   `json:"tools"`  // and what else to have there

	SittingSafety
}

// End returns the instant at which the sitting is over.
func (s SittingInfo) End() time.Time {
	return s.Start.Add(time.Duration(s.Minutes * float64(time.Minute)))
}

// StepInfo is a stretch of a sitting's timetable.
type StepInfo struct {
	At      time.Time `json:"at"` // before the sitting's start for what must have been done by then
	Minutes float64   `json:"minutes"`
	What    string    `json:"what"`                // work, wait, switch off, switch on, cooling or heating
	Task    string    `json:"task,omitempty"`      // whose work or wait it is
	Of      string    `json:"equipment,omitempty"` // id of the machine that is switched, heats or cools
	Says    string    `json:"says"`
}

// VisitInfo is work that is booked with a workshop or with licensed people.
type VisitInfo struct {
	Equipment string      `json:"equipment"`
	Name      string      `json:"equipment_name"`
	Who       care.Who    `json:"who"` // licensed where any of its work asks for that
	CallBy    record.Date `json:"call_by"`
	On        record.Date `json:"on"` // day it is meant for
	By        record.Date `json:"by"` // last day that keeps to the late dates of its tasks
	Turns     []TurnInfo  `json:"tasks"`
}

// CatchUpInfo is a plan of weeks for what is past already.
type CatchUpInfo struct {
	Tasks   []string    `json:"tasks"` // in the order in which they are caught up with
	Minutes float64     `json:"minutes"`
	PerWeek float64     `json:"minutes_a_week"` // at the most
	Weeks   int         `json:"weeks"`
	End     record.Date `json:"end"`
	Says    string      `json:"says"`
}

// RoundInfo is a round of the routine.
type RoundInfo struct {
	EveryDays int         `json:"every_days"`
	From      record.Date `json:"from"`
	Minutes   float64     `json:"minutes"`
	Tasks     []string    `json:"tasks"`
	Covered   []string    `json:"covered,omitempty"` // done with others of the round
	Titles    []string    `json:"titles"`            // of the tasks, each once, with what they count for
	Says      string      `json:"says"`              // when it is done
}

// TurnInfo is a task in a sitting.
type TurnInfo struct {
	Task    string   `json:"task"`
	Title   string   `json:"title"`
	Name    string   `json:"equipment_name"`
	Turn    int      `json:"turn"` // 1 for the next
	Minutes float64  `json:"minutes"`
	Risk    float64  `json:"risk"`   // probability that its limit is passed by then
	Unused  float64  `json:"unused"` // share of its life thrown away
	Pinned  bool     `json:"pinned"`
	Behind  bool     `json:"behind"`           // it is caught up with
	Covers  []string `json:"covers,omitempty"` // tasks that count as done with it
	Why     string   `json:"why"`
}

// CannotMeetInfo is what a plan cannot meet, why, and what would help.
type CannotMeetInfo struct {
	Task   string       `json:"task"` // empty where it is about a whole sitting
	Turn   int          `json:"turn"`
	Later  []int        `json:"later_turns,omitempty"` // of the task, that cannot be met either
	Late   *record.Date `json:"late"`                  // its late date; null where that is not the reason
	On     *record.Date `json:"on"`                    // when it is planned all the same; null for not at all
	Reason string       `json:"reason"`
	WayOut string       `json:"way_out"`
}

// planTeller puts together what a forecast says of its plan.
type planTeller struct{ *Forecast }

// wholePlan puts the plan together.
func (f planTeller) wholePlan() PlanInfo {
	info := PlanInfo{
		OwnCalendar: f.OwnCalendar(),
		Today:       f.Day.Today, Until: f.request.Until - 1,
		Sittings: []SittingInfo{}, Visits: []VisitInfo{}, Booked: f.Visits().On(f.Day), CannotMeet: []CannotMeetInfo{}, Orders: []OrderInfo{}, Rounds: []RoundInfo{},
		Cost: PlanCost{
			Whole: cents(f.plan.Cost), Sittings: cents(f.plan.Open), States: cents(f.plan.States),
			Harm: cents(f.plan.Harm), Waste: cents(f.plan.Waste), Gap: math.Round(1e4*f.plan.Gap()) / 1e4,
		},
	}
	for _, s := range f.plan.Sittings {
		info.Sittings = append(info.Sittings, f.Sitting(s))
	}
	for _, a := range f.plan.Appointments {
		info.Visits = append(info.Visits, f.Visit(a))
	}
	for _, c := range f.plan.CannotMeet {
		info.CannotMeet = append(info.CannotMeet, CannotMeetInfo{
			Task: c.Task, Turn: c.Turn, Later: c.Later, Late: DateOrNil(c.Late), On: DateOrNil(c.On), Reason: c.Reason, WayOut: c.WayOut,
		})
	}
	info.Orders = append(info.Orders, f.Orders()...)
	for _, r := range f.plan.Routine {
		round := RoundInfo{EveryDays: r.EveryDays, From: r.From, Minutes: r.Minutes, Tasks: r.Tasks, Covered: r.Covered, Says: say.Round(r)}
		if most := f.Day.Place.RoutineWish().Minutes; most > 0 && r.Minutes > most {
			round.Says += say.RoundTooLong(r, most)
		}
		round.Titles = f.roundTitles(r)
		info.Rounds = append(info.Rounds, round)
	}
	if up := f.plan.CatchUp; up != nil {
		info.CatchUp = &CatchUpInfo{Tasks: up.Tasks, Minutes: up.Minutes, PerWeek: up.PerWeek, Weeks: up.Weeks, End: up.End, Says: say.CatchUp(up)}
	}
	_, published := f.Day.Book.LastPublication()
	info.Why = say.Plan(f.request, f.plan, published)
	if money := say.PlanInMoney(f.plan, f.Day.Place.Costs()); money != "" {
		info.Why = append(info.Why, money)
	}
	return info
}

// roundTitles names the tasks of a round, and says behind one what it counts for.
func (f planTeller) roundTitles(r plan.Routine) []string {
	titles := f.titlesOf(r.Tasks)
	for _, covered := range r.Covered {
		what, err := f.Outcome(covered)
		if err != nil {
			continue
		}
		for _, task := range r.Tasks {
			by, err := f.Outcome(task)
			if err != nil || !slices.Contains(by.Duty.Covers, covered) {
				continue
			}
			counts := fmt.Sprintf(" (counts for “%s”)", what.Duty.Alike)
			for i, title := range titles {
				named := say.OfTask(by.Duty.Alike, by.Duty.Equipment.Title())
				if (title == named || strings.HasPrefix(title, named+" (")) && !strings.HasSuffix(title, counts) {
					titles[i] += counts
				}
			}
		}
	}
	return titles
}

// titlesOf names tasks with their equipment, and counts those of the same name.
func (f planTeller) titlesOf(tasks []string) []string {
	titles := []string{}
	times := map[string]int{}
	for _, task := range tasks {
		if x, err := f.Outcome(task); err == nil {
			title := say.OfTask(x.Duty.Alike, x.Duty.Equipment.Title())
			if times[title]++; times[title] == 1 {
				titles = append(titles, title)
			}
		}
	}
	for i, title := range titles {
		if n := times[title]; n > 1 {
			titles[i] = fmt.Sprintf("%s (%d times)", title, n)
		}
	}
	return titles
}

// cents keeps hundredths, so that an answer does not show more than is known.
func cents(x float64) float64 { return math.Round(100*x) / 100 }

// Sitting tells of a sitting of the plan.
func (f *Forecast) Sitting(s plan.Sitting) SittingInfo {
	info := SittingInfo{Start: s.Start, Minutes: s.Elapsed(), Room: s.Minutes, Long: s.Long, Steps: planTeller{f}.steps(s), States: []string{}, Parts: []string{}, Tools: []string{}, SittingSafety: f.safetyOf(s.Turns)}
	for _, state := range s.States {
		name := state.Name
		if state.Of != "" {
			name += " (" + state.Of + ")"
		}
		info.States = append(info.States, name)
	}
	var brief, safety []string
	for _, turn := range s.Turns {
		x, err := f.Outcome(turn.Task)
		if err != nil {
			continue // cannot be: the plan was made from the outcomes
		}
		if slices.Contains(s.Brief, turn.Task) {
			brief = append(brief, x.Duty.Title)
		}
		if slices.Contains(s.Safety, turn.Task) {
			safety = append(safety, x.Duty.Title)
		}
		info.Parts, info.Tools = Merge(info.Parts, partsOf(x.Duty)), Merge(info.Tools, x.Duty.Task.Tools)
		info.Turns = append(info.Turns, turnInfo(x.Duty, turn, say.Turn(turn, planTeller{f}.sharedStates(s, turn.Task), len(s.Turns) > 1)))
	}
	slices.Sort(info.Parts)
	slices.Sort(info.Tools)
	if s.Long {
		info.WhyLong = say.WhyLong(brief, safety)
	}
	return info
}

func turnInfo(duty care.Duty, turn plan.Turn, why string) TurnInfo {
	return TurnInfo{
		Task: turn.Task, Title: duty.Title, Name: duty.Equipment.Title(), Turn: turn.Number, Minutes: turn.Minutes,
		Risk: cents(turn.Risk), Unused: cents(turn.Unused), Pinned: turn.Pinned, Behind: turn.Behind, Covers: turn.Covers, Why: why,
	}
}

// Visit tells of a visit of the plan.
func (f *Forecast) Visit(a plan.Appointment) VisitInfo {
	info := VisitInfo{Equipment: a.Of, Name: f.nameOf(a.Of), Who: care.Workshop, CallBy: a.CallBy, On: a.On, By: a.By}
	for _, turn := range a.Turns {
		x, err := f.Outcome(turn.Task)
		if err != nil {
			continue // cannot be: the plan was made from the outcomes
		}
		if x.Duty.Task.Who == care.Licensed {
			info.Who = care.Licensed
		}
		info.Turns = append(info.Turns, turnInfo(x.Duty, turn, say.Turn(turn, nil, false)))
	}
	return info
}

// nameOf returns the name of a piece of equipment.
func (f *Forecast) nameOf(id string) string {
	for _, e := range f.Day.Book.Equipment() {
		if e.ID == id {
			return e.Title()
		}
	}
	return id
}

// Reason says why a turn stands on the day of its sitting, in a sentence without
// figures; empty where its window alone says it.
func (f *Forecast) Reason(s plan.Sitting, turn plan.Turn) string {
	return say.Reason(turn, planTeller{f}.sharedStates(s, turn.Task), len(s.Turns) > 1)
}

// sharedStates lists the states of a task that another task of the sitting needs
// as well, but for those that cost nothing.
func (f planTeller) sharedStates(s plan.Sitting, task string) []string {
	var shared []string
	states := map[string][]plan.State{}
	for _, t := range f.request.Tasks {
		states[t.ID] = t.States
	}
	for _, state := range states[task] {
		for _, other := range s.Turns {
			if other.Task != task && slices.Contains(states[other.Task], state) && f.request.Prices.States[state.Name] > 0 {
				shared = append(shared, state.Name)
				break
			}
		}
	}
	return shared
}

// steps writes the timetable of a sitting.
func (f planTeller) steps(s plan.Sitting) []StepInfo {
	var steps []StepInfo
	begun := map[string]bool{}
	for _, step := range s.Timetable {
		title := step.Task
		if x, err := f.Outcome(step.Task); step.Task != "" && err == nil {
			title = say.OfTask(x.Duty.Title, f.Day.TellingName(x.Duty.Equipment.ID))
		}
		steps = append(steps, StepInfo{
			At: s.At(step), Minutes: step.Minutes, What: string(step.What), Task: step.Task, Of: step.Of,
			Says: say.Step(step, f.Day.TellingName(step.Of), title, begun[step.Task]),
		})
		begun[step.Task] = true
	}
	return steps
}
