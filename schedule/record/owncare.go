package record

import "slices"

// OwnCare is what an owner changes of the care catalogue for one place. It is
// written in the place file and holds until the file says otherwise.
type OwnCare struct {
	Changes []CareChange `json:"changes,omitempty"`
	Tasks   []OwnTask    `json:"tasks,omitempty"`
}

// CareChange switches tasks off or puts other figures in place of the
// catalogue's. It changes every task that its name fits.
type CareChange struct {
	Task   string  `json:"task"`             // id of a task, or as much of it as the tasks meant share, such as backflush-water
	Off    bool    `json:"off,omitempty"`    // it no longer falls due
	Gauge  string  `json:"gauge,omitempty"`  // name of the gauge; may be left out where the task has one
	Low    float64 `json:"low,omitempty"`    // one in ten has reached its limit; in proportion to usual where left out
	Usual  float64 `json:"usual,omitempty"`  // half have, in the gauge's unit
	High   float64 `json:"high,omitempty"`   // nine in ten have
	Months float64 `json:"months,omitempty"` // an interval that stands instead of all gauges
	By     Whose   `json:"by,omitempty"`     // whose figure it is; the owner's where left out
	Note   string  `json:"note,omitempty"`   // why
}

// Whose tells whose figure overrides the catalogue's.
type Whose string

// Whose figures can override.
const (
	ByOwner Whose = "owner"
	ByMaker Whose = "maker"
)

// Choices lists them.
func (Whose) Choices() []string { return []string{string(ByOwner), string(ByMaker)} }

// OwnTask is a task of the owner's own, for one piece of equipment: by an
// interval, or by something counted.
type OwnTask struct {
	ID        string   `json:"id"`
	Title     string   `json:"title"`
	Equipment string   `json:"equipment"`
	Months    float64  `json:"months,omitempty"` // its interval; or
	Days      float64  `json:"days,omitempty"`   // its interval in days; or
	Driver    string   `json:"driver,omitempty"` // shots, kilograms or hot hours
	Limit     float64  `json:"limit,omitempty"`  // and how many of them
	Minutes   float64  `json:"minutes,omitempty"`
	Cautions  []string `json:"cautions,omitempty"`
	Steps     []string `json:"steps,omitempty"`
	Note      string   `json:"note,omitempty"`
}

// OwnDrivers lists what can drive a task of the owner's own beside days.
func OwnDrivers() []string { return []string{"shots", "kilograms", "hot hours"} }

// Validate checks all changes and tasks by themselves; whether the tasks and
// gauges they name exist is known only to the catalogue.
func (o OwnCare) Validate() error {
	return AllOf(
		each("changes", o.Changes, func(c CareChange, _ []CareChange) error { return c.Validate() }),
		each("tasks", o.Tasks, func(t OwnTask, before []OwnTask) error {
			known := slices.ContainsFunc(before, func(other OwnTask) bool { return other.ID == t.ID && other.Equipment == t.Equipment })
			return AllOf(t.Validate(), refuse(known, "id", t.ID, "an id that no other task of that equipment has"))
		}),
	)
}

// Most that a limit or an interval can be, far above all that wears.
const (
	mostLimit  = 1e6
	mostMonths = 240
)

// Validate checks that the change says one thing, and that its figures rise.
func (c CareChange) Validate() error {
	limited := c.Low != 0 || c.Usual != 0 || c.High != 0
	return AllOf(
		refuse(c.Task == "", "task", "", "the id of a task, as the list of tasks shows it"),
		optionalChoice("by", string(c.By), c.By.Choices()),
		text("task", c.Task, 300),
		text("gauge", c.Gauge, 300),
		text("note", c.Note, 300),
		refuse(!justOne(c.Off, limited, c.Months != 0), "off", "", "just one of off, a limit (usual) and months for this task"),
		refuse(c.Gauge != "" && !limited, "gauge", c.Gauge, "a gauge only beside a limit"),
		optional("months", c.Months, 0.1, mostMonths, "months"),
		where(limited, AllOf(
			between("usual", c.Usual, 1e-6, mostLimit, ""),
			where(c.Usual > 0, AllOf(
				optional("low", c.Low, 1e-6, c.Usual, "(usual)"),
				optional("high", c.High, c.Usual, mostLimit, "(from usual)"),
			)),
		)),
	)
}

// Validate checks that the task has one thing that drives it.
func (t OwnTask) Validate() error {
	counted := t.Driver != "" || t.Limit != 0
	line := func(name, line string, _ []string) error { return text(name, line, 500) }
	return AllOf(
		identifier("id", t.ID),
		refuse(t.Title == "", "title", "", "what is to be done, such as Oil the hinges"),
		identifier("equipment", t.Equipment),
		refuse(!justOne(t.Months != 0, t.Days != 0, counted), "months", "", "just one of months, days, or a driver with its limit"),
		optional("months", t.Months, 0.1, mostMonths, "months"),
		optional("days", t.Days, 1, mostMonths*31, "days"),
		where(counted, AllOf(choice("driver", t.Driver, OwnDrivers()), between("limit", t.Limit, 1e-3, mostLimit, ""))),
		optional("minutes", t.Minutes, 1, 600, "minutes"),
		name("title", t.Title, 500),
		text("note", t.Note, 500),
		eachWord("cautions", t.Cautions, line),
		eachWord("steps", t.Steps, line),
	)
}

func (OwnCare) kind() Kind { return KindOwnCare }
