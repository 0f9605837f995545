package busycal

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"syscall"
	"time"

	"limekeep/schedule/record"
)

// Fetcher fetches calendars from addresses that owners name. It asks by https alone,
// sends nothing but the request itself, follows few redirects and only by https, takes
// no more than a calendar can be long, and asks nothing of the computer it runs on.
type Fetcher struct {
	// Client asks; one that keeps to the above where nil.
	Client *http.Client
}

// fetchPatience is how long an address may take to answer, with all that it sends
// (assumption).
const fetchPatience = 30 * time.Second

const (
	mostRedirects = 3
	mostAddress   = 2000 // characters
)

// parseAddress reads an address of a calendar.
func parseAddress(address string) (*url.URL, error) {
	refused := &record.FieldError{Field: "address", Value: address, Want: "an address that begins with https:// (or webcal://, which is asked for by https as well), such as a calendar program gives to subscribe to"}
	if len(address) > mostAddress {
		return nil, refused
	}
	u, err := url.Parse(strings.TrimSpace(address))
	if err != nil {
		return nil, refused
	}
	if u.Scheme == "webcal" || u.Scheme == "webcals" {
		u.Scheme = "https"
	}
	if u.Scheme != "https" || u.Hostname() == "" || u.User != nil || u.Opaque != "" {
		return nil, refused
	}
	return u, nil
}

// Fetch returns the calendar at an address.
func (f Fetcher) Fetch(ctx context.Context, address string) ([]byte, error) {
	u, err := parseAddress(address)
	if err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(ctx, fetchPatience)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, u.String(), nil)
	if err != nil {
		return nil, err
	}
	request.Header.Set("Accept", "text/calendar")
	client := f.Client
	if client == nil {
		client = carefulClient()
	}
	answer, err := client.Do(request)
	var refused *refusedError
	switch {
	case errors.As(err, &refused):
		return nil, refused
	case ctx.Err() != nil:
		return nil, fmt.Errorf("%s did not answer within %.0f seconds", u.Hostname(), fetchPatience.Seconds())
	case err != nil:
		return nil, fmt.Errorf("%s could not be reached, or not safely", u.Hostname()) // the address itself is a secret
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("%s answered with status %d", u.Hostname(), answer.StatusCode)
	}
	text, err := limitedText(answer.Body)
	if err != nil {
		return nil, fmt.Errorf("what %s answered could not be read: it broke off, or is longer than %d MiB", u.Hostname(), MostBytes>>20)
	}
	return text, nil
}

// refusedError says what is not asked.
type refusedError struct{ what string }

func (e *refusedError) Error() string { return e.what }

// carefulClient asks by https alone, and nothing of the computer it runs on.
func carefulClient() *http.Client {
	dialer := &net.Dialer{Timeout: fetchPatience, Control: func(_, address string, _ syscall.RawConn) error {
		at, err := netip.ParseAddrPort(address)
		if err != nil || !mayAsk(at.Addr()) {
			return &refusedError{"the address leads to this computer itself, of which nothing is fetched: bring a file instead"}
		}
		return nil
	}}
	return &http.Client{
		Transport: &http.Transport{DialContext: dialer.DialContext, TLSHandshakeTimeout: fetchPatience, MaxResponseHeaderBytes: 64 << 10, DisableKeepAlives: true},
		CheckRedirect: func(r *http.Request, via []*http.Request) error {
			if r.URL.Scheme != "https" || len(via) > mostRedirects {
				return &refusedError{"the address leads on to one that is not fetched: it must go by https, and not on and on"}
			}
			return nil
		},
	}
}

// mayAsk reports whether anything is asked of a network address: not of this computer,
// nor of what answers on the wire itself alone.
func mayAsk(at netip.Addr) bool {
	at = at.Unmap()
	return at.IsValid() && !at.IsLoopback() && !at.IsUnspecified() && !at.IsLinkLocalUnicast() && !at.IsMulticast()
}
