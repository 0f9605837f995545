package dav

import (
	"context"
	"fmt"
	"net/http"
	"time"
)

// report answers REPORT (RFC 3253, 3.6) by the report that its body names.
func (h *handler) report(w http.ResponseWriter, r *request) error {
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
	s, err := h.rendered(r.Context())
	if err != nil {
		return err
	}
	if r.to.kind == object && s.find(r.to.name) == nil {
		return errNotThere
	}
	onObjects := r.to.kind == collection || r.to.kind == object
	if r.to.kind == collection && body.is(nsCalDAV, "free-busy-query") {
		return h.freeBusy(w, s, body)
	}
	m := newMultistatus(r.Request)
	switch {
	case onObjects && body.is(nsCalDAV, "calendar-query"):
		err = h.query(m, s, r, body)
	case onObjects && body.is(nsCalDAV, "calendar-multiget"):
		err = h.multiget(m, s, r, body)
	case r.to.kind == collection && body.is(nsDAV, "sync-collection"):
		err = h.sync(m, s, r, body)
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
	asked    propRequest
	selected *selection
	zone     *time.Location
	zones    *zones
}

// reporter makes one; zone is nil for the zone of the place.
func (h *handler) reporter(ctx context.Context, m *multistatus, s *rendered, a propRequest, zone *time.Location) *reporter {
	if zone == nil {
		zone = s.placeZone()
	}
	rep := &reporter{ctx: ctx, multistatus: m, asked: a, zone: zone, zones: h.zones}
	if len(s.objects) > 0 {
		rep.selected = selectFor(a, s.objects[0].layout, true)
	}
	return rep
}

// object tells of one object what is asked for.
func (rep *reporter) object(o *renderedObject) {
	extra := ""
	if rep.asked.data != nil {
		if rep.asked.data.expand == nil {
			extra = rep.asked.data.element(o, nil)
		} else {
			extra = rep.asked.data.element(o, &candidate{ctx: rep.ctx, todos: o.times(rep.zones), zone: rep.zone, zones: rep.zones})
		}
	}
	rep.found(&o.resource, rep.selected, extra)
}
