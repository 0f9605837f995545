//go:build unix

package testserver

import (
	"fmt"
	"os"
	"os/user"
	"strconv"
	"syscall"
)

// unprivileged says as whom the server runs, and gives that user the folder: as whoever
// runs the tests, but for root, in whose place the packages' own user does.
func unprivileged(folder string) (*syscall.SysProcAttr, error) {
	as := &syscall.SysProcAttr{Setpgid: true} // Ctrl-C is for the tests
	if os.Getuid() != 0 {
		return as, nil
	}
	u, err := user.Lookup("postgres")
	if err != nil {
		u, err = user.Lookup("nobody")
	}
	if err != nil {
		return nil, fmt.Errorf("PostgreSQL does not run as root, and there is no other user: %w", err)
	}
	uid, err := strconv.Atoi(u.Uid)
	if err != nil {
		return nil, err
	}
	gid, err := strconv.Atoi(u.Gid)
	if err != nil {
		return nil, err
	}
	as.Credential = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
	return as, os.Chown(folder, uid, gid)
}
