package day

import (
	"math"
	"slices"
	"time"

	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// merge adds to sentences those that are not there yet.
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
	Today     record.Date    `json:"today"`
	Until     record.Date    `json:"until"`
	Sittings  []SittingInfo  `json:"sittings"`
	Conflicts []ConflictInfo `json:"conflicts"` // what cannot be met, and why
	Orders    []OrderInfo    `json:"orders"`
	Routine   []string       `json:"routine"` // tasks that come round too often for sittings
	Cost      PlanCost       `json:"cost"`
	Why       []string       `json:"why"` // plain sentences on the whole
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
	Minutes float64    `json:"minutes"` // of work
	Room    float64    `json:"room"`    // minutes that the slot has
	Turns   []TurnInfo `json:"tasks"`   // in the order in which to do them
	States  []string   `json:"states"`  // brought about for it, each once
	Kit     []string   `json:"kit"`     // parts, consumables and tools to have there
}

// TurnInfo is a task in a sitting.
type TurnInfo struct {
	Task    string  `json:"task"`
	Title   string  `json:"title"`
	Name    string  `json:"equipment_name"`
	Turn    int     `json:"turn"` // 1 for the next
	Minutes float64 `json:"minutes"`
	Risk    float64 `json:"risk"`   // probability that its limit is passed by then
	Unused  float64 `json:"unused"` // share of its life thrown away
	Pinned  bool    `json:"pinned"`
	Why     string  `json:"why"`
}

// ConflictInfo is what a plan cannot meet.
type ConflictInfo struct {
	Task   string       `json:"task"` // empty where it is about a whole sitting
	Turn   int          `json:"turn"`
	Late   *record.Date `json:"late"` // its late date; null where that is not the reason
	On     *record.Date `json:"on"`   // when it is planned all the same; null for not at all
	Reason string       `json:"reason"`
}

// Plan returns the plan of the place.
func (f *Forecast) Plan() PlanInfo {
	info := PlanInfo{
		Today: f.Day.Today, Until: f.request.Until - 1,
		Sittings: []SittingInfo{}, Conflicts: []ConflictInfo{}, Orders: []OrderInfo{}, Routine: []string{},
		Cost: PlanCost{
			Whole: cents(f.plan.Cost), Sittings: cents(f.plan.Open), States: cents(f.plan.States),
			Harm: cents(f.plan.Harm), Waste: cents(f.plan.Waste), Gap: math.Round(1e4*f.plan.Gap()) / 1e4,
		},
	}
	for _, s := range f.plan.Sittings {
		info.Sittings = append(info.Sittings, f.sitting(s))
	}
	for _, c := range f.plan.CannotMeet {
		info.Conflicts = append(info.Conflicts, ConflictInfo{Task: c.Task, Turn: c.Turn, Late: DateOrNil(c.Late), On: DateOrNil(c.On), Reason: c.Reason})
	}
	info.Orders = append(info.Orders, f.Orders()...)
	info.Routine = append(info.Routine, f.Routine()...)
	_, published := f.Day.Book.LastPublication()
	info.Why = say.Plan(f.request, f.plan, published)
	return info
}

// cents keeps hundredths, so that an answer does not show more than is known.
func cents(x float64) float64 { return math.Round(100*x) / 100 }

func (f *Forecast) sitting(s plan.Sitting) SittingInfo {
	info := SittingInfo{Start: s.Start, Minutes: s.Work(), Room: s.Minutes, States: []string{}, Kit: []string{}}
	for _, state := range s.States {
		name := state.Name
		if state.Of != "" {
			name += " (" + state.Of + ")"
		}
		info.States = append(info.States, name)
	}
	for _, turn := range s.Turns {
		x, err := f.outcome(turn.Task)
		if err != nil {
			continue // cannot be: the plan was made from the outcomes
		}
		info.Kit = Merge(info.Kit, kitOf(x.Duty))
		info.Turns = append(info.Turns, TurnInfo{
			Task: turn.Task, Title: x.Duty.Title, Name: x.Duty.Equipment.Title(), Turn: turn.Number, Minutes: turn.Minutes,
			Risk: cents(turn.Risk), Unused: cents(turn.Unused), Pinned: turn.Pinned, Why: say.Turn(turn, f.sharedStates(s, turn.Task), len(s.Turns) > 1),
		})
	}
	slices.Sort(info.Kit)
	return info
}

// sharedStates lists the states of a task that another task of the sitting needs
// as well, but for those that cost nothing.
func (f *Forecast) sharedStates(s plan.Sitting, task string) []string {
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
