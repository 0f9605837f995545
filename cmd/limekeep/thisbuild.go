package main

import (
	"fmt"
	"os"
	"runtime/debug"
)

// thisBuild tells the program that runs from any other build of it, since another may
// work out something else from the same records: by what the compiler wrote down, and by
// the size and the time of its file, which differ where a build with changes of its own
// says nothing of them. Empty where the file cannot be looked at.
func thisBuild() string {
	path, err := os.Executable()
	if err != nil {
		return ""
	}
	file, err := os.Stat(path)
	if err != nil {
		return ""
	}
	compiled := ""
	if info, ok := debug.ReadBuildInfo(); ok {
		compiled = info.String()
	}
	return fmt.Sprintf("%s\n%d bytes of %d", compiled, file.Size(), file.ModTime().UnixNano())
}
