package web

import "strings"

// showsSecret reports whether an address's page shows the calendar's address or a
// password that was just made.
func showsSecret(path string) bool {
	for _, start := range []string{"/calendar", "/apps", "/address"} {
		if path == start || strings.HasPrefix(path, start+"/") || strings.HasPrefix(path, start+".") {
			return true
		}
	}
	return false
}
