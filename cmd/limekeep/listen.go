package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/netip"
	"os"
	"strings"
	"sync"
	"time"

	"limekeep/schedule/record"
)

// listenHelp is said wherever an address cannot be listened on.
const listenHelp = "give a free address such as 127.0.0.1:8322, or unix:/run/limekeep/pages.sock"

// socketPrefix begins the address of a Unix socket.
const socketPrefix = "unix:"

// listen opens the address. When the preferred one is taken and nobody asked
// for it by name, any free port of this computer serves.
func listen(ctx context.Context, address string, asked bool) (net.Listener, error) {
	if path, ok := strings.CutPrefix(address, socketPrefix); ok {
		return listenOnSocket(ctx, path)
	}
	var config net.ListenConfig
	listener, err := config.Listen(ctx, "tcp", address)
	if err != nil && !asked && address == preferredAddress {
		listener, err = config.Listen(ctx, "tcp", "127.0.0.1:0")
	}
	if err != nil {
		return nil, fmt.Errorf("--listen: %s cannot be listened on; %s: %w", address, listenHelp, err)
	}
	return listener, nil
}

// listenOnSocket opens a Unix socket for its owner and group. One that a server left
// behind is taken away, one that is answered stays.
func listenOnSocket(ctx context.Context, path string) (net.Listener, error) {
	if info, err := os.Lstat(path); err == nil && info.Mode()&fs.ModeSocket != 0 {
		var dialer net.Dialer
		if conn, err := dialer.DialContext(ctx, "unix", path); err == nil {
			_ = conn.Close()
			return nil, fmt.Errorf("--listen: another server answers at %s; stop it, or give another path", path)
		}
		if err := os.Remove(path); err != nil {
			return nil, fmt.Errorf("--listen: the socket that is left at %s cannot be taken away: %w", path, err)
		}
	}
	var config net.ListenConfig
	listener, err := config.Listen(ctx, "unix", path)
	if err != nil {
		return nil, fmt.Errorf("--listen: no socket can be made at %s; %s: %w", path, listenHelp, err)
	}
	if err := os.Chmod(path, 0o660); err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	return listener, nil
}

// reachedByOthers reports whether an address can be reached from other computers. A
// name is looked at as if it could, but for this computer's own.
func reachedByOthers(address string) bool {
	if strings.HasPrefix(address, socketPrefix) {
		return false
	}
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return true
	}
	ip := net.ParseIP(host)
	return host != "localhost" && (ip == nil || !ip.IsLoopback())
}

// certificate serves a certificate from its files, and reads them anew when they have
// changed, as they do every few weeks.
type certificate struct {
	certFile, keyFile string

	mu     sync.Mutex
	kept   *tls.Certificate
	from   time.Time // when the files were changed last
	looked time.Time
}

// certificateEvery is how often the files are looked at (assumption).
const certificateEvery = time.Minute

func newCertificate(certFile, keyFile string) (*certificate, error) {
	c := &certificate{certFile: certFile, keyFile: keyFile}
	if err := c.read(); err != nil {
		return nil, fmt.Errorf("--tls-cert and --tls-key: give a certificate chain and its key as PEM files: %w", err)
	}
	return c, nil
}

func (c *certificate) read() error {
	pair, err := tls.LoadX509KeyPair(c.certFile, c.keyFile)
	if err != nil {
		return err
	}
	c.kept, c.from, c.looked = &pair, c.changed(), time.Now()
	return nil
}

func (c *certificate) changed() time.Time {
	var last time.Time
	for _, path := range []string{c.certFile, c.keyFile} {
		if info, err := os.Stat(path); err == nil && info.ModTime().After(last) {
			last = info.ModTime()
		}
	}
	return last
}

// get returns the certificate; where the new files cannot be read, the last one.
func (c *certificate) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if time.Since(c.looked) > certificateEvery {
		c.looked = time.Now()
		if !c.changed().Equal(c.from) {
			_ = c.read() // half written, perhaps: looked at again in a minute
		}
	}
	return c.kept, nil
}

// overTLS encrypts what a listener accepts.
func overTLS(listener net.Listener, certFile, keyFile string) (net.Listener, error) {
	if certFile == "" && keyFile == "" {
		return listener, nil
	}
	c, err := newCertificate(certFile, keyFile)
	if err != nil {
		return nil, err
	}
	return tls.NewListener(listener, &tls.Config{MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}, GetCertificate: c.get}), nil
}

// trustedProxies reads the networks of servers in front.
func trustedProxies(texts []string) ([]netip.Prefix, error) {
	var all []netip.Prefix
	for _, text := range texts {
		for one := range strings.SplitSeq(text, ",") {
			if one = strings.TrimSpace(one); one == "" {
				continue
			}
			network, err := netip.ParsePrefix(one)
			if err != nil {
				address, addressErr := netip.ParseAddr(one)
				if addressErr != nil {
					return nil, &record.FieldError{Field: "--trusted-proxy", Value: one, Want: "an address or a network, such as 127.0.0.1 or 10.0.0.0/8"}
				}
				network = netip.PrefixFrom(address, address.BitLen())
			}
			all = append(all, network)
		}
	}
	return all, nil
}

// allowedHosts gives the names under which the server may be asked, so that a
// page elsewhere cannot reach it under a name of its own (DNS rebinding): this
// computer's names for itself, the address listened on, and the base. A server that
// listens on every address may be asked by any address, which no name can be pointed
// away from, and by the computer's name.
func allowedHosts(listener net.Listener, base string) (hosts []string, anyAddress bool, err error) {
	address, ok := listener.Addr().(*net.TCPAddr)
	if ok {
		port := fmt.Sprint(address.Port)
		hosts = append(hosts, listener.Addr().String())
		for _, name := range []string{"127.0.0.1", "localhost", "::1"} {
			hosts = append(hosts, net.JoinHostPort(name, port))
		}
		if anyAddress = address.IP.IsUnspecified(); anyAddress {
			if name, err := os.Hostname(); err == nil && name != "" {
				hosts = append(hosts, name, name+".local")
			}
		}
	} else {
		hosts = append(hosts, "localhost")
	}
	if base != "" {
		parsed, err := parseBase(base)
		if err != nil {
			return nil, false, err
		}
		hosts = append(hosts, parsed.Host, parsed.Hostname())
	}
	return hosts, anyAddress, nil
}

// shownAddress is how the listener is reached from this computer.
func shownAddress(listener net.Listener) string {
	address, ok := listener.Addr().(*net.TCPAddr)
	switch {
	case !ok:
		return "localhost"
	case address.IP.IsUnspecified():
		return net.JoinHostPort("localhost", fmt.Sprint(address.Port))
	}
	return listener.Addr().String()
}
