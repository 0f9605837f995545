package dav

import "net/http"

// delete takes an object away. Collections stay.
func (h *handler) delete(w http.ResponseWriter, r *request) error {
	switch r.to.kind {
	case nothing:
		return errNotThere
	case object:
	default:
		return &Refusal{NeedPrivileges, "The collection of to-dos is part of the place and stays."}
	}
	conditions := conditionsOf(r.Header)
	err := h.Collection.Delete(r.Context(), r.app, r.to.name, func(o *Object) error {
		if err := conditions.check(o); err != nil {
			return err
		}
		if o == nil {
			return errNotThere
		}
		return nil
	})
	if err != nil {
		return h.elaborate(r, err, "")
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// makeCollection refuses MKCOL and MKCALENDAR: a place has one collection.
func (h *handler) makeCollection(w http.ResponseWriter, r *request) error {
	if r.to.kind > nothing && r.to.kind < object {
		return notAllowed(w, r.to.kind) // RFC 4918, 9.3.1: only where nothing is
	}
	return &Refusal{locationOK, "A place has one collection of to-dos, " + h.paths.collection + "; others cannot be made."}
}

// copyMove refuses COPY and MOVE: a to-do belongs to its equipment and keeps its
// address.
func (h *handler) copyMove(w http.ResponseWriter, r *request) error {
	if r.to.kind == nothing {
		return errNotThere
	}
	return &failure{http.StatusForbidden, "To-dos are neither copied nor moved here. Store a new one instead."}
}
