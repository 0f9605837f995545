//go:build unix

package main

import "syscall"

// openFiles returns how many files and connections the system lets this program have
// open at a time; 0 where it does not say.
func openFiles() uint64 {
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit); err != nil {
		return 0
	}
	return uint64(limit.Cur) //nolint:gosec,unconvert // its type differs from system to system
}
