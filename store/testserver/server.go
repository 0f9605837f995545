// Package testserver runs a PostgreSQL server for tests: of the programs that are
// installed here, on a socket of its own in a temporary folder, started when it is first
// asked for and gone with the test process, however that ends.
package testserver

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// Server is a running PostgreSQL.
type Server struct {
	socket string
	keeper *exec.Cmd
	alive  io.Closer // the keeper's input: open as long as this process
}

// ErrMissing says that PostgreSQL is not installed.
var ErrMissing = errors.New("the programs of PostgreSQL are not here: install Debian's package postgresql (.ci/install does), or PostgreSQL 13 or later with initdb in PATH")

// startPatience is how long a server may take to answer on a busy machine.
const startPatience = 2 * time.Minute

var started = sync.OnceValues(start)

// Start gives the server of this process. Its clusters are made by a user of its own
// where the tests run as root, as which PostgreSQL does not run.
func Start() (*Server, error) { return started() }

// keeper starts a server, waits for the end of its own input, which comes with the end of
// the test process, and takes away what the server left.
const keeper = `folder=$1; shift
trap '' INT TERM HUP
"$@" >"$folder/log" 2>&1 </dev/null &
cat >/dev/null
kill -QUIT $! 2>/dev/null
wait
rm -rf "$folder"`

func start() (*Server, error) {
	programs, err := programs()
	if err != nil {
		return nil, err
	}
	// A short path: that of a socket has a hundred characters at most.
	folder, err := os.MkdirTemp("/tmp", "limekeep-pg-")
	if err != nil {
		return nil, err
	}
	as, err := unprivileged(folder)
	if err != nil {
		return nil, errors.Join(err, os.RemoveAll(folder))
	}
	data := filepath.Join(folder, "data")
	initdb := exec.Command(filepath.Join(programs, "initdb"), "-D", data, "-A", "trust", "-U", "tests", "-E", "UTF8", "--locale=C", "--no-sync")
	initdb.Dir, initdb.SysProcAttr = folder, as
	if out, err := initdb.CombinedOutput(); err != nil {
		return nil, errors.Join(fmt.Errorf("initdb: %w: %s", err, out), os.RemoveAll(folder))
	}
	server := exec.Command("sh", "-c", keeper, "sh", folder, filepath.Join(programs, "postgres"), "-D", data, "-k", folder,
		// Nothing here outlives the machine, so that nobody waits for its disk.
		"-c", "listen_addresses=", "-c", "fsync=off", "-c", "full_page_writes=off", "-c", "max_connections=300",
		"-c", "shared_buffers=32MB", "-c", "autovacuum=off", "-c", "unix_socket_permissions=0777")
	server.Dir, server.SysProcAttr = folder, as
	alive, err := server.StdinPipe()
	if err != nil {
		return nil, errors.Join(err, os.RemoveAll(folder))
	}
	if err := server.Start(); err != nil {
		return nil, errors.Join(err, os.RemoveAll(folder))
	}
	s := &Server{socket: folder, keeper: server, alive: alive}
	end := time.Now().Add(startPatience)
	for {
		err := s.do("SELECT 1")
		if err == nil {
			return s, nil
		}
		if time.Now().After(end) {
			log, _ := os.ReadFile(filepath.Join(folder, "log"))
			return nil, fmt.Errorf("PostgreSQL does not answer: %w: %s", err, log)
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// programs finds the folder of PostgreSQL's programs, of the latest version there is.
func programs() (string, error) {
	if path, err := exec.LookPath("initdb"); err == nil {
		return filepath.Dir(path), nil
	}
	var found []string
	for _, pattern := range []string{"/usr/lib/postgresql/*/bin/initdb", "/usr/pgsql-*/bin/initdb", "/opt/homebrew/opt/postgresql@*/bin/initdb", "/usr/local/opt/postgresql@*/bin/initdb"} {
		more, err := filepath.Glob(pattern)
		if err != nil {
			return "", err
		}
		found = append(found, more...)
	}
	if len(found) == 0 {
		return "", ErrMissing
	}
	return filepath.Dir(slices.MaxFunc(found, func(a, b string) int { return number(a) - number(b) })), nil
}

// number is the version in the path of a program.
func number(path string) int {
	digits := strings.FieldsFunc(path, func(r rune) bool { return r < '0' || r > '9' })
	if len(digits) == 0 {
		return 0
	}
	n, err := strconv.Atoi(digits[0])
	if err != nil {
		return 0
	}
	return n
}

// Address is that of a database of the server.
func (s *Server) Address(database string) string {
	return "postgres://tests@/" + database + "?" + url.Values{"host": {s.socket}}.Encode()
}

func (s *Server) do(statement string) error {
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, s.Address("postgres"))
	if err != nil {
		return err
	}
	_, err = conn.Exec(ctx, statement)
	return errors.Join(err, conn.Close(ctx))
}

var databases atomic.Int64

// Database makes an empty database and returns its address. It fails the test where
// PostgreSQL is not installed, and says what to do; with -short the test is left out.
func Database(t testing.TB) string {
	t.Helper()
	return database(t, "template0")
}

// Like makes a database that holds what another does, to which nobody is connected, and
// returns its address.
func Like(t testing.TB, other string) string {
	t.Helper()
	config, err := pgx.ParseConfig(other)
	if err != nil {
		t.Fatal(err)
	}
	return database(t, config.Database)
}

func database(t testing.TB, template string) string {
	t.Helper()
	if testing.Short() {
		t.Skip("with -short there is no server")
	}
	s, err := Start()
	if err != nil {
		t.Fatal(err)
	}
	address, err := s.NewDatabase(template)
	if err != nil {
		t.Fatal(err)
	}
	return address
}

// NewDatabase makes a database that holds what another does, such as template0, which
// holds nothing, and returns its address.
func (s *Server) NewDatabase(template string) (string, error) {
	name := fmt.Sprintf("test_%d", databases.Add(1))
	return s.Address(name), s.do("CREATE DATABASE " + name + " TEMPLATE " + template)
}
