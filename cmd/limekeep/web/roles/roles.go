// Package roles says who may ask for what of the pages. What nothing is said of is the
// owner's alone.
package roles

import (
	"net/http"
	"slices"
	"strings"
)

// Role is what somebody is to the places that they may see.
type Role string

// Roles. The owner may do everything.
const (
	Owner      Role = "owner"
	Technician Role = "technician" // looks after the equipment: plan, work, water, history
	Staff      Role = "staff"      // the routine, use, and what was found
	Reader     Role = "reader"     // looks, and writes nothing
)

// rule lets roles send some requests to an address, or to all below it.
type rule struct {
	path  string // ending in a slash, all below it as well
	write bool   // whether forms may be sent, and not only pages looked at
	end   string // how the address must end; anyhow where empty
	not   string // below it, but not what begins so
	roles []Role
}

var (
	all     = []Role{Technician, Staff, Reader}
	lookers = []Role{Technician, Reader}
	hands   = []Role{Technician, Staff}
	skilled = []Role{Technician}
)

// rules say what others than the owner may do. The calendar's addresses, passwords,
// settings, what stands at a place and own calendars are in none.
var rules = []rule{
	{path: "/static/", roles: all},
	{path: "/about", roles: all},
	{path: "/dates", write: true, roles: all},
	{path: "/sign-out", write: true, roles: all},
	{path: "/", roles: all}, // of staff a page of its own

	{path: "/plan", roles: lookers},
	{path: "/visits", roles: lookers},
	{path: "/visits/", roles: lookers},
	{path: "/reports/", roles: lookers},
	{path: "/water", roles: lookers},
	{path: "/water/compare", roles: lookers},
	{path: "/equipment", roles: lookers},
	{path: "/equipment/", roles: lookers},
	{path: "/history", roles: lookers},
	{path: "/score", roles: lookers},
	{path: "/print/", roles: lookers},
	{path: "/use", roles: all},
	{path: "/tasks/", roles: all},
	{path: "/api/due", roles: lookers},
	{path: "/places", roles: lookers},
	{path: "/places.json", roles: lookers},
	{path: "/places/compare", roles: lookers},
	{path: "/places/compare.csv", roles: lookers},
	{path: "/places/compare.json", roles: lookers},

	{path: "/record", roles: hands},
	{path: "/record/", roles: hands},
	{path: "/routine", write: true, roles: hands},
	{path: "/use/", write: true, not: "/use/import", roles: hands},
	{path: "/use/import", write: true, roles: skilled},
	{path: "/use/import/", write: true, roles: skilled},
	{path: "/tasks/", write: true, end: "/done", roles: hands},

	{path: "/tasks/", write: true, roles: skilled},
	{path: "/water", write: true, roles: skilled},
	{path: "/water/new", roles: skilled},
	{path: "/plan/", write: true, roles: skilled},
	{path: "/visits", write: true, roles: skilled},
	{path: "/visits/", write: true, roles: skilled},
	{path: "/history/", write: true, roles: skilled},
	{path: "/sitting", write: true, roles: skilled},
	{path: "/sitting/", write: true, roles: skilled},
	{path: "/labels", roles: skilled},
	{path: "/round", roles: skilled},
	{path: "/round/load", roles: skilled},
	{path: "/round/book", write: true, roles: skilled},
	{path: "/round.json", roles: skilled},
	{path: "/van", write: true, roles: skilled},
}

// May reports whether somebody of a role may send a request with a method to an address of
// the pages, without where a place lies. One that is not clean may nobody but the owner.
func May(role Role, method, path string) bool {
	if role == Owner {
		return true
	}
	if strings.Contains(path, "//") || strings.Contains(path, "/.") {
		return false
	}
	looks := method == http.MethodGet || method == http.MethodHead
	if !looks && method != http.MethodPost {
		return false
	}
	return slices.ContainsFunc(rules, func(r rule) bool {
		at := path == r.path || r.path != "/" && strings.HasSuffix(r.path, "/") && strings.HasPrefix(path, r.path)
		at = at && (r.not == "" || !strings.HasPrefix(path, r.not))
		return at && (looks || r.write) && strings.HasSuffix(path, r.end) && slices.Contains(r.roles, role)
	})
}
