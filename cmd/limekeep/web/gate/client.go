package gate

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
)

// Client is who sends a request.
type Client struct {
	Address string // IP address; "socket" for one that came over a Unix socket
	Secure  bool   // whether the connection is encrypted on its way to the client
}

// Clients tells who sends a request.
type Clients struct {
	// TrustedProxies are the networks of servers in front that are believed.
	TrustedProxies []netip.Prefix
	// BaseURL is the address under which a server is reached; empty where unknown.
	BaseURL string
}

// socketClient stands for the address of who comes over a Unix socket.
const socketClient = "socket"

// Of returns who sends a request. What a proxy says of it counts only where the
// proxy is one of those named: anybody can write a header.
func (k Clients) Of(r *http.Request) Client {
	c := Client{Address: peerOf(r), Secure: r.TLS != nil}
	if k.trusted(c.Address) {
		c.Secure = c.Secure || strings.EqualFold(lastOf(r.Header.Values("X-Forwarded-Proto")), "https")
		c.Address = k.forwardedFor(r, c.Address)
	}
	if base, err := url.Parse(k.BaseURL); err == nil && base.Scheme == "https" && PlainHost(base.Host) == PlainHost(r.Host) {
		c.Secure = true
	}
	return c
}

// peerOf returns the address of whoever is at the other end of the connection.
func peerOf(r *http.Request) string {
	if host, _, err := net.SplitHostPort(r.RemoteAddr); err == nil {
		return host
	}
	return socketClient
}

// forwardedFor returns the last address that a trusted proxy was asked from: each
// proxy adds the one it sees at the end, and what stands before the first that is not
// trusted anybody may have written.
func (k Clients) forwardedFor(r *http.Request, address string) string {
	said := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(said) - 1; i >= 0; i-- {
		ip, err := netip.ParseAddr(strings.TrimSpace(said[i]))
		if err != nil {
			return address
		}
		address = ip.Unmap().String()
		if !k.trusted(address) {
			return address
		}
	}
	return address
}

// trusted reports whether an address is that of a proxy that is believed.
func (k Clients) trusted(address string) bool {
	if address == socketClient {
		return true // who may open the socket is a matter of its file
	}
	ip, err := netip.ParseAddr(address)
	if err != nil {
		return false
	}
	for _, network := range k.TrustedProxies {
		if network.Contains(ip.Unmap()) {
			return true
		}
	}
	return false
}

func lastOf(values []string) string {
	said := strings.Split(strings.Join(values, ","), ",")
	return strings.TrimSpace(said[len(said)-1])
}

type addressCtxKey struct{}

// WithAddress lets what answers a request know the address of who sends it.
func WithAddress(ctx context.Context, address string) context.Context {
	return context.WithValue(ctx, addressCtxKey{}, address)
}

// AddressOf returns the address of who sends the request that is answered; empty where
// nothing was told of it.
func AddressOf(ctx context.Context) string {
	address, _ := ctx.Value(addressCtxKey{}).(string)
	return address
}
