package record

// Service is the record that a task was done.
type Service struct {
	Task    string  `json:"task"`              // id of the task, equipment first
	Finding Finding `json:"finding,omitempty"` // what was found before it was put right
	Grams   float64 `json:"grams,omitempty"`   // scale that came off, weighed or worked out from the acid
	Left    float64 `json:"left,omitempty"`    // share that the work left in place, 0 for a task wholly done, 1 where somebody only looked
	Note    string  `json:"note,omitempty"`
}

// Looked reports whether nothing was done but look.
func (s Service) Looked() bool { return s.Left == OnlyLooked }

// OnlyLooked is the share left in place where nothing was done but look: the part
// goes on as it was, and what was seen counts.
const OnlyLooked = 1

// Finding is what a service found.
type Finding string

// Findings. The first four are for scale, the others for parts that wear.
const (
	Bare   Finding = "bare"   // no scale to be seen
	Film   Finding = "film"   // a film one can wipe or see the metal through
	Crust  Finding = "crust"  // a layer that hides the metal
	Flakes Finding = "flakes" // pieces that have come loose
	Fresh  Finding = "fresh"  // as good as new
	Worn   Finding = "worn"   // its time had come
	Failed Finding = "failed" // it leaked, clogged or broke before it was done
)

// ScaleFindings lists what can be found in a vessel.
func ScaleFindings() []string {
	return []string{string(Bare), string(Film), string(Crust), string(Flakes)}
}

// PartFindings lists what can be found of a part that wears.
func PartFindings() []string { return []string{string(Fresh), string(Worn), string(Failed)} }

// Validate checks the record by itself; whether the task exists, and which
// findings it knows, is known only to the catalogue.
func (s Service) Validate() error {
	return AllOf(
		refuse(s.Task == "", "task", "", "the id of a task"),
		optionalChoice("finding", string(s.Finding), append(ScaleFindings(), PartFindings()...)),
		between("grams", s.Grams, 0, 5000, "g"),
		refuse(!(s.Left >= 0 && s.Left <= 0.95 || s.Left == OnlyLooked), "left", s.Left, "0 to 0.95 (a share of what was there)"),
		refuse(s.Left == OnlyLooked && s.Finding == "" && s.Grams == 0, "finding", "", "what was seen, where nothing but looking was done"),
		text("note", s.Note, 1000),
	)
}

func (Service) kind() Kind { return KindService }
