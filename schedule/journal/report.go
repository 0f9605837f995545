package journal

import (
	"context"
	"fmt"
	"strings"
	"time"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// SignReport keeps a report that somebody signed. Of a sitting there is one: what is put
// right afterwards is told beside it.
func (j *Journal) SignReport(ctx context.Context, d *day.Day, r record.ServiceReport) (Receipt, error) {
	r.SignedBy, r.By = strings.TrimSpace(r.SignedBy), strings.TrimSpace(r.By)
	r.SignedAt = j.Days.Now().UTC().Truncate(time.Second)
	if err := r.Validate(); err != nil {
		return Receipt{}, err
	}
	for _, other := range d.Book.ServiceReports() {
		if other.Body.Sitting == r.Sitting {
			return Receipt{}, &record.FieldError{Field: "sitting", Value: r.Sitting, Want: fmt.Sprintf("a visit that is not signed yet: this one is, as record %d", other.ID)}
		}
	}
	return j.write(ctx, d, d.Today, r, "report signed by "+r.SignedBy)
}
