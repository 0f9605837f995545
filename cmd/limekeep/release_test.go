package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// What is given out is packed whole, and the check that make release ends with sees each
// part that lacks. A script stands in for the program, so that nothing is compiled; the
// programs themselves are looked at by make release and make soak.
func TestReleaseIsLookedAt(t *testing.T) {
	if testing.Short() {
		t.Skip("it needs programs that the quick run does without; make test has them")
	}
	program := filepath.Join(t.TempDir(), "program")
	const stand = "#!/bin/sh\ncase $1 in\ndemo) echo BEGIN:VEVENT >\"$4\" ;;\n*) echo \"$@\" ;;\nesac\n"
	if err := os.WriteFile(program, []byte(stand), 0o755); err != nil { //nolint:gosec // it is run
		t.Fatal(err)
	}
	dist := filepath.Join(t.TempDir(), "dist")
	run := func(script string, args ...string) (string, error) {
		cmd := exec.CommandContext(t.Context(), "bash", append([]string{filepath.Join("..", "..", ".ci", script)}, args...)...)
		cmd.Env = append(os.Environ(), "PROGRAM="+program, "VERSION=v1.2.3", "DIST="+dist, "TARGETS=linux/amd64 darwin/arm64 windows/amd64")
		out, err := cmd.CombinedOutput()
		return string(out), err
	}
	if out, err := run("release"); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if out, err := run("releasecheck", dist); err != nil {
		t.Fatalf("what is whole is refused: %v\n%s", err, out)
	}
	shell := func(line string) {
		t.Helper()
		cmd := exec.CommandContext(t.Context(), "bash", "-ec", line)
		cmd.Dir = dist
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%s: %v\n%s", line, err, out)
		}
	}
	const sums = "; rm checksums.txt; sha256sum -- * >checksums.txt"
	repack := func(archive, change string) string {
		return "mkdir ../open; tar -C ../open -xzf " + archive + "; (cd ../open/*; " + change + "); tar -C ../open -czf " + archive + " $(ls ../open); rm -r ../open" + sums
	}
	repackage := func(change string) string {
		return "dpkg-deb -R limekeep_1.2.3_amd64.deb ../open; (cd ../open; " + change + "); dpkg-deb -b ../open limekeep_1.2.3_amd64.deb; rm -r ../open" + sums
	}
	for _, c := range []struct {
		breaks string
		says   []string // all that is wrong is said at once
	}{
		{"echo >>limekeep-v1.2.3-darwin-arm64.tar.gz; touch other", []string{"checksums.txt is not of what lies there\nother has no checksum"}},
		{"rm limekeep_1.2.3_amd64.deb limekeep-v1.2.3-windows-amd64.zip" + sums, []string{"there is no Debian package for amd64", "there is no archive for windows/amd64"}},
		{
			repack("limekeep-v1.2.3-darwin-arm64.tar.gz", "rm LICENSE") + ";" +
				repack("limekeep-v1.2.3-linux-amd64.tar.gz", "echo 'exit 1' >limekeep") + ";" +
				repackage("rm lib/systemd/system/limekeep.service; chmod 644 usr/bin/limekeep"),
			[]string{"the archive for darwin/arm64 lacks LICENSE", "version fails", "the Debian package for amd64 lacks lib/systemd/system/limekeep.service"},
		},
	} {
		whole := dist + ".whole"
		if err := os.CopyFS(whole, os.DirFS(dist)); err != nil {
			t.Fatal(err)
		}
		shell(c.breaks)
		out, err := run("releasecheck", dist)
		for _, says := range c.says {
			if err == nil || !strings.Contains(out, says) {
				t.Errorf("after %q nothing says %q: %v\n%s", c.breaks, says, err, out)
			}
		}
		if err := os.RemoveAll(dist); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(whole, dist); err != nil {
			t.Fatal(err)
		}
	}
}

// The same source gives the same bytes.
func TestReleaseIsTheSameTwice(t *testing.T) {
	if testing.Short() {
		t.Skip("it needs programs that the quick run does without; make test has them")
	}
	var sums [2][]byte
	for i := range sums {
		dist := filepath.Join(t.TempDir(), "dist")
		cmd := exec.CommandContext(t.Context(), "bash", filepath.Join("..", "..", ".ci", "release"))
		cmd.Env = append(os.Environ(), "PROGRAM=/bin/true", "VERSION=v1.2.3", "DIST="+dist, "SOURCE_DATE_EPOCH=1780000000", "TARGETS=linux/amd64 windows/amd64")
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		var err error
		if sums[i], err = os.ReadFile(filepath.Join(dist, "checksums.txt")); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(sums[0], sums[1]) {
		t.Errorf("%s\nthen\n%s", sums[0], sums[1])
	}
}
