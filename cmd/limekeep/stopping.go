package main

import (
	"context"
	"errors"
	"io"
)

// stopping is a file that can be read until the context ends: what reads a long one needs
// not look itself whether it is to stop.
type stopping struct {
	ctx  context.Context
	from io.Reader
}

// Read reads, or says why no more is read.
func (s stopping) Read(p []byte) (int, error) {
	if s.ctx.Err() != nil {
		return 0, context.Cause(s.ctx)
	}
	return s.from.Read(p)
}

// errOnlyForward is told of what cannot go back, such as a pipe.
var errOnlyForward = errors.New("it can only be read once, from its beginning")

// Seek goes to a place in the file, where it can.
func (s stopping) Seek(offset int64, whence int) (int64, error) {
	if seeker, ok := s.from.(io.Seeker); ok {
		return seeker.Seek(offset, whence)
	}
	return 0, errOnlyForward
}
