package record

import (
	"fmt"
	"time"
)

// ServiceReport is what a customer signed of a visit: what was done and found, as they
// were told it then. What is corrected afterwards is told beside it, never in it.
type ServiceReport struct {
	Sitting string         `json:"sitting"`         // id of the sitting that it is about, which is signed once
	Visit   int64          `json:"visit,omitempty"` // record of the visit that was booked; 0 for none
	From    time.Time      `json:"from"`            // the work began
	To      time.Time      `json:"to"`              // and ended
	By      string         `json:"by"`              // who did the work
	Done    []ReportedWork `json:"done"`
	Left    []ReportedWork `json:"left,omitempty"` // what was to be done and was not

	SignedBy string    `json:"signed_by"` // name, as the customer typed it
	SignedAt time.Time `json:"signed_at"`
	Note     string    `json:"note,omitempty"` // of the customer's
}

// ReportedWork is one task as a report tells it.
type ReportedWork struct {
	Record int64  `json:"record,omitempty"` // that says it was done; 0 where it was not
	Task   string `json:"task"`             // id
	Title  string `json:"title"`
	Name   string `json:"equipment_name"`
	Says   string `json:"says,omitempty"` // what was found
	Note   string `json:"note,omitempty"`
	Next   Date   `json:"next,omitzero"` // when it likely falls due again, as known then; zero for not known
}

// mostSignature bounds a name that signs.
const mostSignature = 100

// Validate checks that somebody signed for something.
func (r ServiceReport) Validate() error {
	return AllOf(
		refuse(r.Sitting == "", "sitting", "", "the sitting that the report is about"),
		refuse(r.From.IsZero() || r.To.Before(r.From), "to", "", "an end not before the beginning"),
		refuse(len(r.Done)+len(r.Left) == 0 || len(r.Done)+len(r.Left) > mostVisitTasks, "done", "", fmt.Sprintf("1 to %d tasks, done or left", mostVisitTasks)),
		name("by", r.By, 60),
		required("signed-by", r.SignedBy, "the name of whoever signs"),
		name("signed-by", r.SignedBy, mostSignature),
		refuse(r.SignedAt.IsZero(), "signed-at", "", "when it was signed"),
		text("note", r.Note, 1000),
	)
}

func (ServiceReport) kind() Kind { return KindServiceReport }

// ServiceReports returns the reports that were signed, oldest first.
func (b *Book) ServiceReports() []Dated[ServiceReport] {
	return all(b, func(ServiceReport) bool { return true })
}
