package web

import (
	"context"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
)

// client is who sends a request.
type client struct {
	address string // IP address; "socket" for one that came over a Unix socket
	secure  bool   // whether the connection is encrypted on its way to the client
}

// socketClient stands for the address of who comes over a Unix socket.
const socketClient = "socket"

// client returns who sends a request. What a proxy says of it counts only where the
// proxy is one of those named: anybody can write a header.
func (h *handler) client(r *http.Request) client {
	c := client{address: peerOf(r), secure: r.TLS != nil}
	if h.trusted(c.address) {
		c.secure = c.secure || strings.EqualFold(lastOf(r.Header.Values("X-Forwarded-Proto")), "https")
		c.address = h.forwardedFor(r, c.address)
	}
	if base, err := url.Parse(h.BaseURL); err == nil && base.Scheme == "https" && plainHost(base.Host) == plainHost(r.Host) {
		c.secure = true
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
func (h *handler) forwardedFor(r *http.Request, address string) string {
	said := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(said) - 1; i >= 0; i-- {
		ip, err := netip.ParseAddr(strings.TrimSpace(said[i]))
		if err != nil {
			return address
		}
		address = ip.Unmap().String()
		if !h.trusted(address) {
			return address
		}
	}
	return address
}

// trusted reports whether an address is that of a proxy that is believed.
func (h *handler) trusted(address string) bool {
	if address == socketClient {
		return true // who may open the socket is a matter of its file
	}
	ip, err := netip.ParseAddr(address)
	if err != nil {
		return false
	}
	for _, network := range h.TrustedProxies {
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

// withAddress lets what answers a request know who sends it.
func withAddress(ctx context.Context, address string) context.Context {
	return context.WithValue(ctx, addressCtxKey{}, address)
}

func addressOf(ctx context.Context) string {
	address, _ := ctx.Value(addressCtxKey{}).(string)
	return address
}
