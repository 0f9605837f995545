package dav

import (
	"bytes"
	"errors"
	"net/http"
	"strings"
)

// Conditions that this layer itself looks after.
const (
	finiteDepth        Condition = "DAV: propfind-finite-depth"                                    // RFC 4918, 9.1
	protectedProperty  Condition = "DAV: cannot-modify-protected-property"                         // RFC 4918, 16
	withinLimits       Condition = "DAV: number-of-matches-within-limits"                          // RFC 6578, 3.2
	validSyncToken     Condition = "DAV: valid-sync-token"                                         // RFC 6578, 3.2
	supportedReport    Condition = "DAV: supported-report"                                         // RFC 3253, 3.6
	noExternalEntities Condition = "DAV: no-external-entities"                                     // RFC 4918, 16
	supportedData      Condition = "urn:ietf:params:xml:ns:caldav supported-calendar-data"         // RFC 4791, 5.3.2.1
	supportedFilter    Condition = "urn:ietf:params:xml:ns:caldav supported-filter"                // RFC 4791, 7.8
	supportedCollation Condition = "urn:ietf:params:xml:ns:caldav supported-collation"             // RFC 4791, 7.5.1
	validFilter        Condition = "urn:ietf:params:xml:ns:caldav valid-filter"                    // RFC 4791, 7.8
	locationOK         Condition = "urn:ietf:params:xml:ns:caldav calendar-collection-location-ok" // RFC 4791, 5.3.1.1
)

// failure is an answer that names no condition of the standards.
type failure struct {
	status int
	why    string
}

func (f *failure) Error() string { return f.why }

// errPrecondition says that a conditional request's condition is false.
var errPrecondition = errors.New("the to-do is not as this request expects it to be; fetch it anew")

// errNotThere says that an address leads nowhere.
var errNotThere = errors.New("there is nothing at this address")

// elaborated is a refusal whose element says more than its name.
type elaborated struct {
	*Refusal
	inside string // XML
}

// Unwrap returns the refusal.
func (e *elaborated) Unwrap() error { return e.Refusal }

// element writes a condition as the XML element that names it, with what is
// already XML inside it.
func (c Condition) element(inside string) string {
	space, local, _ := strings.Cut(string(c), " ")
	prefix := "D"
	if space == nsCalDAV {
		prefix = "C"
	}
	if inside == "" {
		return "<" + prefix + ":" + local + "/>"
	}
	return "<" + prefix + ":" + local + ">" + inside + "</" + prefix + ":" + local + ">"
}

// status returns the HTTP status for an unmet condition (RFC 4791, 1.3): 403 where
// the same request will never do, 409 where the app can mend what is in its way.
func (c Condition) status() int {
	if c == NoUIDConflict {
		return http.StatusConflict
	}
	return http.StatusForbidden
}

// answerRefusal sends an error element with the condition in it (RFC 4918, 16).
func answerRefusal(w http.ResponseWriter, refused *Refusal, inside string) {
	var b bytes.Buffer
	b.WriteString(xmlHeader)
	b.WriteString(`<D:error` + namespaces + `>` + refused.Condition.element(inside))
	// Of the standards' elements none is for people (RFC 4918, 14.5 allows
	// others), and the one of RFC 4918 for descriptions is what apps know.
	b.WriteString(`<D:responsedescription>`)
	escape(&b, refused.Why)
	b.WriteString("</D:responsedescription></D:error>\n")
	sendXML(w, refused.Condition.status(), b.Bytes())
}

func sendXML(w http.ResponseWriter, status int, body []byte) {
	w.Header().Set("Content-Type", "application/xml; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(body) // an app that hung up needs no answer
}
