package dav

import (
	"context"
	"fmt"
	"net/http"
	"time"
)

// report answers REPORT (RFC 3253, 3.6) by the report that its body names.
func (d *door) report(w http.ResponseWriter, r *request) error {
	body, err := readBody(w, r.Request)
	if err != nil {
		return err
	}
	if body == nil {
		return &failure{http.StatusBadRequest, "A REPORT names in its body which report is meant."}
	}
	if r.to.kind == nothing {
		return errNotThere
	}
	s, err := d.shelf(r.Context())
	if err != nil {
		return err
	}
	if r.to.kind == object && s.find(r.to.name) == nil {
		return errNotThere
	}
	onObjects := r.to.kind == collection || r.to.kind == object
	m := newMultistatus(r.Request)
	switch {
	case onObjects && body.is(nsCalDAV, "calendar-query"):
		err = d.query(m, s, r, body)
	case onObjects && body.is(nsCalDAV, "calendar-multiget"):
		err = d.multiget(m, s, r, body)
	case r.to.kind == collection && body.is(nsDAV, "sync-collection"):
		err = d.sync(m, s, r, body)
	default:
		err = &Refusal{supportedReport, fmt.Sprintf("There is no report %s at this address.", body.name.Local)}
	}
	if err != nil {
		return err
	}
	return m.send(w)
}

// reporter answers for objects as a report asks for them.
type reporter struct {
	ctx context.Context // of the request
	*multistatus
	ask   ask
	plan  *plan
	zone  *time.Location
	zones *zones
}

// reporter makes one; zone is nil for the zone of the place.
func (d *door) reporter(ctx context.Context, m *multistatus, s *shelf, a ask, zone *time.Location) *reporter {
	if zone == nil {
		zone = s.placeZone()
	}
	rep := &reporter{ctx: ctx, multistatus: m, ask: a, zone: zone, zones: d.zones}
	if len(s.objects) > 0 {
		rep.plan = planFor(a, s.objects[0].layout, true)
	}
	return rep
}

// object tells of one object what is asked for.
func (rep *reporter) object(o *shelved) {
	extra := ""
	if rep.ask.data != nil {
		if rep.ask.data.expand == nil {
			extra = rep.ask.data.element(o, nil)
		} else {
			extra = rep.ask.data.element(o, &matching{ctx: rep.ctx, todos: o.times(rep.zones), zone: rep.zone, zones: rep.zones})
		}
	}
	rep.found(&o.resource, rep.plan, extra)
}
