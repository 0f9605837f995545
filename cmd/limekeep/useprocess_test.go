package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"limekeep/schedule/record"
)

// importProcess is the command itself, in a process of its own with records of
// its own.
func importProcess(t *testing.T, folder string, args ...string) *exec.Cmd {
	t.Helper()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	// The test program is the command where it is called by its name.
	return &exec.Cmd{
		Path: program, Args: append([]string{"limekeep"}, args...),
		Env: append(os.Environ(), "LIMEKEEP_DATA="+filepath.Join(folder, "records.db"), "LIMEKEEP_TODAY=2026-03-02", "HOME="+folder, "XDG_CONFIG_HOME="+folder),
	}
}

func mustRun(t *testing.T, cmd *exec.Cmd) string {
	t.Helper()
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %v: %s", cmd.Args, err, out)
	}
	return string(out)
}

// barFolder is a folder with the records of a bar that was set up.
func barFolder(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	place := filepath.Join(folder, "place.yaml")
	const yaml = `place: {id: bar, name: Bar, zone: Europe/Vienna}
equipment:
  - {id: tap, bought: 2021-01-01, water_line: {supply: mains}}
  - id: machine
    bought: 2021-01-01
    machine: {setting: bar, water_line: tap, vessels: [{id: brew, kind: brew boiler, material: brass}], groups: [{id: g, three_way_valve: true}], habit: {weekday_shots: 300}}
`
	if err := os.WriteFile(place, []byte(yaml), 0o600); err != nil {
		t.Fatal(err)
	}
	mustRun(t, importProcess(t, folder, "setup", place))
	return folder
}

// shotLines writes so many lines of a log.
func shotLines(from, to int) []byte {
	var lines bytes.Buffer
	for n := from; n < to; n++ {
		day, i := record.NewDate(2021, 2, 1)+record.Date(n/600), n%600
		fmt.Fprintf(&lines, "%s %02d:%02d,18.%d,espresso\n", day, 7+i/60, i%60, n%10)
	}
	return lines.Bytes()
}

// A process that is killed in the middle of an import leaves nothing of it, and
// the file is taken whole afterwards.
func TestImportKilledHalfWay(t *testing.T) {
	const rows = 8_000
	folder := barFolder(t)
	before := mustRun(t, importProcess(t, folder, "history"))
	child := importProcess(t, folder, "use", "import", "-")
	in, err := child.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	child.Stdout, child.Stderr = &said, &said
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	// A pipe holds 64 KiB: once all of this is written, most of it has been read
	// and put into the file.
	half := append([]byte("date,dose,drink\n"), shotLines(0, rows/2)...)
	if _, err := in.Write(half); err != nil {
		t.Fatal(err)
	}
	if err := child.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	if err := child.Wait(); err == nil {
		t.Fatalf("it ended by itself: %s", said.String())
	}
	if after := mustRun(t, importProcess(t, folder, "history")); after != before {
		t.Errorf("half an import left a trace:\n%s", after)
	}
	whole := importProcess(t, folder, "use", "import", "-")
	whole.Stdin = bytes.NewReader(append(half, shotLines(rows/2, rows)...))
	if out := mustRun(t, whole); !strings.HasPrefix(out, fmt.Sprintf("took %d rows from 2021-02-01 to ", rows)) {
		t.Errorf("afterwards: %s", out)
	}
}
