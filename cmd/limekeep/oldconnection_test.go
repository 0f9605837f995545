package main

import (
	"bufio"
	"fmt"
	"net"
	"net/http"
	"strings"
	"testing"
)

// A connection that was open before the place was set up, and is asked on only afterwards, is
// neither cut off nor answered as if nothing were set up: it is sent to the same address anew,
// and never to another host's.
func TestWhoAsksOnAnOldConnectionIsSentOn(t *testing.T) {
	s := serveNothing(t)
	host := strings.TrimSuffix(strings.TrimPrefix(s.pages, "http://"), "/")
	var early []net.Conn
	for range 2 {
		conn, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		early = append(early, conn)
	}
	s.run("setup", "demoplace.yaml")
	client := plainClient()
	for range 2 { // the first tells the server of the place, the second is answered by the next one
		answer, err := client.Get(s.pages + "/healthz")
		if err != nil {
			t.Fatal(err)
		}
		_ = answer.Body.Close()
	}
	for i, c := range []struct{ path, want string }{{"/plan?months=3", "/plan?months=3"}, {"//elsewhere.example/x", "/elsewhere.example/x"}} {
		fmt.Fprintf(early[i], "GET %s HTTP/1.1\r\nHost: %s\r\n\r\n", c.path, host)
		answer, err := http.ReadResponse(bufio.NewReader(early[i]), nil)
		if err != nil {
			t.Fatalf("%s: the old connection was cut off: %v", c.path, err)
		}
		_ = answer.Body.Close()
		if got := answer.Header.Get("Location"); answer.StatusCode != http.StatusTemporaryRedirect || got != c.want {
			t.Errorf("%s: %s, sent to %q, want %q", c.path, answer.Status, got, c.want)
		}
	}
}
