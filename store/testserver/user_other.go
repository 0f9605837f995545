//go:build !unix

package testserver

import "syscall"

// unprivileged runs the server as whoever runs the tests.
func unprivileged(string) (*syscall.SysProcAttr, error) { return nil, nil }
