package dav

import (
	"net/url"
	"strings"
	"unicode/utf8"
)

// paths knows the addresses below a prefix, one below the other: principal, home,
// collection, object.
type paths struct {
	prefix string // without a slash at its end
	user   string

	root, principal, home, collection string // percent-encoded, ending in a slash
}

// homeSegment stands between a user and the collections.
const homeSegment = "todos"

// kind is what an address leads to.
type kind int

const (
	nothing kind = iota
	root
	principal
	home
	collection
	object
)

// target is where an address leads.
type target struct {
	kind kind
	name string // of an object, decoded; it need not exist
}

func newPaths(prefix, user string) paths {
	prefix = strings.TrimRight(prefix, "/")
	p := paths{prefix: prefix, user: user, root: prefix + "/"}
	p.principal = p.root + url.PathEscape(user) + "/"
	p.home = p.principal + homeSegment + "/"
	p.collection = p.home + url.PathEscape(user) + "/"
	return p
}

// find returns where a percent-encoded path leads. A collection is found with and
// without the slash at its end (RFC 4918, 5.2). The root of the whole server is
// one more way to the principal, for apps that look there first (RFC 6764, 6).
func (p paths) find(escaped string) target {
	if escaped == "/" {
		return target{kind: root}
	}
	rest, ok := strings.CutPrefix(escaped, p.prefix)
	if !ok || rest != "" && rest[0] != '/' {
		return target{}
	}
	rest = strings.TrimPrefix(rest, "/")
	if rest == "" {
		return target{kind: root}
	}
	segments := strings.Split(rest, "/")
	slash := segments[len(segments)-1] == ""
	if slash {
		segments = segments[:len(segments)-1]
	}
	for i, segment := range segments {
		decoded, err := url.PathUnescape(segment)
		if err != nil {
			return target{}
		}
		segments[i] = decoded
	}
	expected := []string{p.user, homeSegment, p.user}
	for i, segment := range segments {
		if i < len(expected) && segment != expected[i] {
			return target{}
		}
	}
	switch n := len(segments); {
	case n <= len(expected):
		return target{kind: root + kind(n)}
	case n == len(expected)+1 && !slash && validName(segments[n-1]):
		return target{kind: object, name: segments[n-1]}
	}
	return target{}
}

// parent returns the path of the collection that a path lies in.
func parent(escaped string) string {
	escaped = strings.TrimSuffix(escaped, "/")
	return escaped[:strings.LastIndexByte(escaped, '/')+1]
}

// object returns the percent-encoded path of an object.
func (p paths) object(name string) string { return p.collection + url.PathEscape(name) }

// mostNameBytes is how long an app may make the name of an object: four times
// what a UUID with an ending needs.
const mostNameBytes = 200

// validName reports whether a path segment can name an object. Apps choose names
// freely, with any ending or none.
func validName(name string) bool {
	if name == "" || name == "." || name == ".." || len(name) > mostNameBytes || !utf8.ValidString(name) {
		return false
	}
	for _, r := range name {
		if r < ' ' || r == 0x7f || r == '/' {
			return false
		}
	}
	return true
}

// of returns the path of a target.
func (p paths) of(t target) string {
	switch t.kind {
	case principal:
		return p.principal
	case home:
		return p.home
	case collection:
		return p.collection
	case object:
		return p.object(t.name)
	}
	return p.root
}
