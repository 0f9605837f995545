package main

import (
	"cmp"
	"fmt"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
)

// release is the version that the program is given out as. .ci/release has the linker
// set it; in any other build it is empty.
var release string //nolint:gochecknoglobals // the linker can set nothing else

// versionInfo is what a build knows of itself. Where it was built without a word on
// the state of its source, Revision and Time are empty and Modified is nil.
type versionInfo struct {
	Version  string `json:"version"`  // of the module, such as v1.2.0; "development" where it is no release
	Revision string `json:"revision"` // of the source; empty where unknown
	Time     string `json:"time"`     // of the revision, RFC 3339; empty where unknown
	Modified *bool  `json:"modified"` // whether the source had changes beyond the revision; null where unknown
	Go       string `json:"go"`       // version of the compiler and its library
	Platform string `json:"platform"` // such as linux/amd64; empty where unknown
}

// versionOf reads what the compiler wrote down; info is nil where it wrote nothing.
func versionOf(info *debug.BuildInfo) versionInfo {
	v := versionInfo{Version: "development"}
	if info == nil {
		return v
	}
	if m := info.Main.Version; m != "" && m != "(devel)" {
		v.Version = m
	}
	v.Go = info.GoVersion
	var system, processor string
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			v.Revision = s.Value
		case "vcs.time":
			v.Time = s.Value
		case "vcs.modified":
			if modified, err := strconv.ParseBool(s.Value); err == nil {
				v.Modified = &modified
			}
		case "GOOS":
			system = s.Value
		case "GOARCH":
			processor = s.Value
		}
	}
	if system != "" && processor != "" {
		v.Platform = system + "/" + processor
	}
	return v
}

// thisVersion is that of the program that runs.
func thisVersion() versionInfo {
	info, _ := debug.ReadBuildInfo() // nil where it holds none
	v := versionOf(info)
	v.Version = cmp.Or(release, v.Version)
	return v
}

// String returns the version as a person reads it, in lines.
func (v versionInfo) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "limekeep %s\n", v.Version)
	switch {
	case v.Revision == "":
		b.WriteString("unknown revision: it was built without a note of the state of its source\n")
	case v.Modified == nil:
		fmt.Fprintf(&b, "revision %s of %s; whether with changes is unknown\n", v.Revision, cmp.Or(v.Time, "an unknown time"))
	case *v.Modified:
		fmt.Fprintf(&b, "revision %s of %s, with changes on top\n", v.Revision, cmp.Or(v.Time, "an unknown time"))
	default:
		fmt.Fprintf(&b, "revision %s of %s\n", v.Revision, cmp.Or(v.Time, "an unknown time"))
	}
	if v.Go != "" {
		fmt.Fprintf(&b, "built with %s", v.Go)
		if v.Platform != "" {
			fmt.Fprintf(&b, " for %s", v.Platform)
		}
		b.WriteString("\n")
	}
	return b.String()
}

func newVersion(a *app) *cobra.Command {
	return a.answers(&cobra.Command{
		Use:   "version",
		Short: "Which build of the program this is",
		Args:  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			v := thisVersion()
			if a.asJSON {
				return printJSON(cmd, v)
			}
			_, err := fmt.Fprint(cmd.OutOrStdout(), v)
			return err
		},
	})
}
