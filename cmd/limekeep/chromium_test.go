package main

import (
	"os/exec"
	"testing"
)

// chromium returns the browser that looks at the pages: Chromium without windows where
// that is there, which takes two thirds of the processor time, or Chromium itself.
func chromium(t *testing.T) string {
	t.Helper()
	var err error
	for _, name := range []string{"chromium-headless-shell", "chromium"} {
		var path string
		if path, err = exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatalf("neither chromium-headless-shell nor chromium is there: run `make clients`, or install one of these packages of Debian: %v", err)
	return ""
}
