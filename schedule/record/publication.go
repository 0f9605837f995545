package record

import "time"

// Publication is a plan as it went out to the calendar. The next plan starts
// from it, and the calendar takes its sequence numbers and stamps from it.
type Publication struct {
	At      time.Time          `json:"at"`
	Entries []PublishedSitting `json:"entries"`
	Turns   []PublishedTurn    `json:"turns,omitempty"`   // all turns planned, those in the entries among them
	Routine []PublishedSitting `json:"routine,omitempty"` // each task of the routine, as task apps have it
	Done    []PublishedDone    `json:"done,omitempty"`    // what was done and still shows

	// What was expected of the services and checks to come, for the score, and of
	// those that found something since; none in what was published before there was
	// a score.
	Expected      []PublishedExpected `json:"expected,omitempty"`
	ModelLogSD    float64             `json:"model_log_sd,omitempty"` // error of the model that it goes by; 0 for what is assumed of any place
	ExpectedSince Date                `json:"expected_since,omitzero"`
	Found         []PublishedFound    `json:"found,omitempty"` // oldest first

	Cancelled []PublishedCancelled `json:"cancelled,omitempty"` // what was open before, and was neither done nor stayed open

	Groups      []PublishedGroup `json:"groups,omitempty"`       // sittings, visits and days of work done
	GroupsGiven int              `json:"groups_given,omitempty"` // the highest number that the UID of a group was ever given
}

// PublishedExpected is what a service or check of a task was likely to find, as the
// forecast had it on the day of a publication.
type PublishedExpected struct {
	Task   string           `json:"task"`
	Served int64            `json:"served,omitempty"` // record of the service before; 0 for none
	Of     string           `json:"of"`               // part, scale, measured or water
	Gauge  string           `json:"gauge,omitempty"`  // that is measured, of water the quantity
	Part   string           `json:"part,omitempty"`   // that is measured
	EyeMM  float64          `json:"eye_mm,omitempty"` // mm on the wall that the eye takes a gram of scale for
	Noise  float64          `json:"noise,omitempty"`  // of a reading about its line
	Points []PublishedPoint `json:"points"`
	Early  Date             `json:"early,omitzero"` // window of the task
	Likely Date             `json:"likely,omitzero"`
	Late   Date             `json:"late,omitzero"`
}

// PublishedFound is what was expected of a service or check that found something:
// by the last publication before it was known, for its day.
type PublishedFound struct {
	Record   int64 `json:"record"`   // service, measurement or water test that found it
	Foreseen Date  `json:"foreseen"` // day of that publication
	PublishedExpected
	ModelLogSD float64 `json:"model_log_sd,omitempty"`
}

// PublishedPoint is the quantiles of what was expected on a day, for the shares 2,
// 10, 30, 50, 70, 90 and 98 %.
type PublishedPoint struct {
	On Date      `json:"on"`
	At []float64 `json:"at"`
}

// PublishedCancelled is an entry that a published calendar showed as cancelled.
type PublishedCancelled struct {
	UID      string    `json:"uid"`
	Start    time.Time `json:"start"`
	AllDay   bool      `json:"all_day,omitempty"`
	Group    bool      `json:"group,omitempty"`  // it stood for a sitting or visit, else for a single task
	Booked   bool      `json:"booked,omitempty"` // of a visit that was booked
	Alone    bool      `json:"alone,omitempty"`  // it was of no sitting or visit
	Tasks    []string  `json:"tasks,omitempty"`  // by the UIDs that each goes by alone
	Since    Date      `json:"since"`            // when it was cancelled
	Content  string    `json:"content"`          // fingerprint of all that the entry shows
	Sequence int       `json:"sequence"`         // how often that has changed
	Changed  time.Time `json:"changed"`          // publication that last changed it
}

// PublishedGroup is an entry for several tasks, as a published calendar showed it.
type PublishedGroup struct {
	UID      string    `json:"uid"`
	Kind     GroupKind `json:"kind"`
	Of       string    `json:"of,omitempty"` // id of the equipment that a visit is for
	Start    time.Time `json:"start"`
	Tasks    []string  `json:"tasks"`         // by the UIDs that each goes by alone
	Done     Date      `json:"done,omitzero"` // day of what was done
	Content  string    `json:"content"`       // fingerprint of all that the entry shows
	Sequence int       `json:"sequence"`      // how often that has changed
	Changed  time.Time `json:"changed"`       // publication that last changed it
}

// GroupKind is what an entry for several tasks stands for.
type GroupKind string

// Kinds of entries for several tasks.
const (
	SittingGroup GroupKind = "sitting"
	VisitGroup   GroupKind = "visit"
	BookedGroup  GroupKind = "booked"
	DoneGroup    GroupKind = "done"
)

// PublishedDone is a task that was done, as a published calendar showed it.
type PublishedDone struct {
	UID      string    `json:"uid"`
	Content  string    `json:"content"`  // fingerprint of all that the entry shows
	Sequence int       `json:"sequence"` // how often that has changed
	Changed  time.Time `json:"changed"`  // publication that last changed it
}

// PublishedTurn is the day on which a turn of a task was planned.
type PublishedTurn struct {
	Task   string `json:"task"`
	On     Date   `json:"on"`
	Number int    `json:"number"`           // 1 for the next turn, as seen from the publication
	Served int64  `json:"served,omitempty"` // record of the service before the next turn; 0 for none
	Stands int    `json:"stands,omitempty"` // 1 and the number of the reason that was told for its day; 0 where none was told
}

// PublishedSitting is one task as it stood in a published plan.
type PublishedSitting struct {
	UID      string    `json:"uid"`
	Task     string    `json:"task"`
	Start    time.Time `json:"start"`
	Minutes  float64   `json:"minutes"`
	AllDay   bool      `json:"all_day,omitempty"`
	Content  string    `json:"content"`  // fingerprint of all that the entry shows
	Sequence int       `json:"sequence"` // how often that has changed
	Changed  time.Time `json:"changed"`  // publication that last changed it

	// What the entry said of its window, kept until the window has moved so far
	// that it is worth saying anew.
	Says   string `json:"says,omitempty"`
	Early  Date   `json:"early,omitzero"`
	Likely Date   `json:"likely,omitzero"`
	Late   Date   `json:"late,omitzero"`
	Vague  bool   `json:"vague,omitempty"` // it was tentative
}

// Validate checks that the publication has its instant.
func (p Publication) Validate() error {
	return refuse(p.At.IsZero(), "at", "", "the instant of the publication")
}

func (Publication) kind() Kind { return KindPublication }
