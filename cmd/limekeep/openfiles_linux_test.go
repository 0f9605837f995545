package main

import (
	"bufio"
	"bytes"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// Where the system lets few files be open, clients that send slowly take none of those that
// records are read with, and others are answered beside them.
func TestSlowClientsLeaveFilesToReadWith(t *testing.T) {
	if testing.Short() {
		t.Skip("it starts a server; make test has it")
	}
	s := &served{t: t, folder: t.TempDir()}
	s.run("setup", "demoplace.yaml")
	server := s.command("serve", "--listen", "127.0.0.1:0")
	server.Args = append([]string{"bash", "-c", `ulimit -n 100; exec -a limekeep "$0" "$@"`, server.Path}, server.Args[1:]...)
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Fatal(err)
	}
	server.Path = bash
	var log bytes.Buffer
	server.Stderr = &log
	out, err := server.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	pages := ""
	for lines := bufio.NewScanner(out); lines.Scan() && !strings.HasPrefix(lines.Text(), "stop with"); {
		if address, ok := strings.CutPrefix(lines.Text(), "pages:"); ok {
			pages = strings.TrimSpace(address)
		}
	}
	host := strings.TrimSuffix(strings.TrimPrefix(pages, "http://"), "/")
	for range 150 {
		conn, err := net.Dial("tcp", host)
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		fmt.Fprintf(conn, "POST /water HTTP/1.1\r\nHost: %s\r\nContent-Length: 1000\r\n\r\nhalf", host)
	}
	client := plainClient()
	for _, path := range []string{"readyz", "history", "use"} {
		answer, err := client.Get(pages + path)
		if err != nil {
			t.Errorf("/%s: %v", path, err)
			continue
		}
		_ = answer.Body.Close()
		if answer.StatusCode != http.StatusOK && path != "readyz" { // the plan may be at work yet
			t.Errorf("/%s: %s", path, answer.Status)
		}
	}
	_ = server.Process.Signal(os.Interrupt)
	if err := server.Wait(); err != nil {
		t.Error(err)
	}
	for _, trouble := range []string{"too many open files", "cannot be opened", "level=ERROR"} {
		if strings.Contains(log.String(), trouble) {
			t.Errorf("%q is told:\n%.2000s", trouble, log.String())
		}
	}
}

func TestConnectionsFor(t *testing.T) {
	for files, want := range map[uint64]int{0: mostConnections, 20: fewestConnections, 100: 36, 1024: mostConnections, 1 << 63: mostConnections} {
		if got := connectionsFor(files); got != want {
			t.Errorf("%d files leave %d connections, want %d", files, got, want)
		}
	}
}
