package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
)

// The memory of an import stays below 100 MB. The figure is the most that the
// process has held so far, as Linux counts it, program and all, when nearly all
// of the rows are read; the race detector takes a few times what the program
// does. That it does not grow with the file is tested where the file is read and
// where the rows are kept.
func TestImportMemory(t *testing.T) {
	const rows = 12_000
	child := importProcess(t, barFolder(t), "use", "import", "-")
	in, err := child.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	child.Stdout, child.Stderr = &said, &said
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	// What is not read yet fits into the pipe's 64 KiB.
	if _, err := in.Write(append([]byte("date,dose,drink\n"), shotLines(0, rows)...)); err != nil {
		t.Error(err)
	}
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", child.Process.Pid))
	if err != nil {
		t.Error(err)
	}
	if err := in.Close(); err != nil {
		t.Error(err)
	}
	if err := child.Wait(); err != nil {
		t.Fatalf("%v: %s", err, said.String())
	}
	var peak int
	_, line, _ := strings.Cut(string(status), "VmHWM:")
	if _, err := fmt.Sscan(line, &peak); err != nil {
		t.Fatalf("no peak in %s", status)
	}
	if peak <= 0 || peak > 100<<10 {
		t.Errorf("%d kB for %d rows", peak, rows)
	}
}
