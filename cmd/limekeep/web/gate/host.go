package gate

import "strings"

// PlainHost returns a host written the one way it is compared: in lower case, without
// the dot of the root and without the brackets of a bare IPv6 address.
func PlainHost(host string) string {
	host = strings.ToLower(strings.TrimSpace(host))
	if strings.HasPrefix(host, "[") && strings.HasSuffix(host, "]") {
		host = host[1 : len(host)-1]
	}
	return strings.TrimSuffix(host, ".")
}
