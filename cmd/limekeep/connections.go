package main

import (
	"net"
	"net/http"
	"sync"
	"time"
)

// Limits that hold whatever clients do. Assumptions.
const (
	mostConnections   = 256 // a household's apps and browsers have a dozen
	fewestConnections = 8   // where the system lets hardly a file be open
	filesBeside       = 64  // of records, logs and answers, beside connections
	headerTimeout     = 10 * time.Second
	readTimeout       = 20 * time.Second // of a whole request with its body
	writeTimeout      = 60 * time.Second // of an answer, the work for it among it
	idleTimeout       = time.Minute
	mostHeaderBytes   = 32 << 10
	shutdownPatience  = 1500 * time.Millisecond // for answers that are under way when the server stops
	abandonedPatience = 500 * time.Millisecond  // for their work, once it was told to stop
)

// connections bounds how many a server has at a time. One that comes when there are too
// many takes the place of the one that has been idle, or sending its request, the
// longest: who sends slowly cannot keep the others out.
type connections struct {
	most int

	mu    sync.Mutex
	since map[net.Conn]time.Time // of those idle or sending, since when
	all   map[net.Conn]bool
}

// connectionsFor returns how many connections there may be where so many files may be
// open: who holds them all must leave some to read records with.
func connectionsFor(files uint64) int {
	switch {
	case files == 0 || files >= mostConnections+filesBeside:
		return mostConnections
	case files < fewestConnections+filesBeside:
		return fewestConnections
	}
	return int(files - filesBeside) //nolint:gosec // bounded above
}

func newConnections(most int) *connections {
	return &connections{most: most, since: map[net.Conn]time.Time{}, all: map[net.Conn]bool{}}
}

// changed is told what becomes of a connection (http.Server.ConnState).
func (c *connections) changed(conn net.Conn, state http.ConnState) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch state {
	case http.StateNew:
		c.all[conn] = true
		c.since[conn] = time.Now()
		if len(c.all) > c.most {
			c.closeOldest(conn)
		}
	case http.StateIdle:
		c.since[conn] = time.Now()
	case http.StateActive:
		// Active begins with the first byte of a request: one that sends on slowly is
		// bounded by the server's times, and may be closed for another as well.
		c.since[conn] = time.Now()
	case http.StateClosed, http.StateHijacked:
		delete(c.all, conn)
		delete(c.since, conn)
	}
}

// closeOldest closes the connection that has waited the longest; it is locked.
func (c *connections) closeOldest(but net.Conn) {
	var oldest net.Conn
	for conn, since := range c.since {
		if conn != but && (oldest == nil || since.Before(c.since[oldest])) {
			oldest = conn
		}
	}
	if oldest != nil {
		_ = oldest.Close() // its end is told by another change
		delete(c.all, oldest)
		delete(c.since, oldest)
	}
}
