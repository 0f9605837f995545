package web

import (
	"net/url"

	"limekeep/schedule/day"
)

// Subscription is a calendar that can be subscribed to, with its address in the
// two forms that calendar programs know.
type Subscription struct {
	Equipment string `json:"equipment,omitempty"` // id; empty for all of the place
	Name      string `json:"name"`                // of the place or the equipment, for people
	Address   string `json:"address"`             // http or https, to be pasted
	Webcal    string `json:"webcal"`              // for a click or a camera

	// The scheme webcal is registered with IANA (provisional, 2012-09-23) for
	// subscribing. Links by which hosted calendars subscribe in one click go
	// round, but no documentation of theirs was found for Google Calendar or for
	// Outlook on the web, so there are none here: one pastes the address there.
}

// Subscriptions returns the calendar of a place and then that of each piece of its
// equipment, under the address at which others reach the server.
func Subscriptions(base *url.URL, secret string, place day.PlaceInfo) []Subscription {
	under := func(name string, path ...string) Subscription {
		address := base.JoinPath(append([]string{"calendar", secret}, path...)...)
		s := Subscription{Name: name, Address: address.String()}
		address.Scheme = "webcal"
		s.Webcal = address.String()
		return s
	}
	all := []Subscription{under(place.Name, "limekeep.ics")}
	for _, e := range place.Equipment {
		s := under(e.Name, "equipment", e.Equipment+".ics")
		s.Equipment = e.Equipment
		all = append(all, s)
	}
	return all
}

// TaskServer returns the address that task apps are told.
func TaskServer(base *url.URL) string { return base.JoinPath("dav").String() + "/" }
