package main

import (
	"encoding/json"
	"runtime/debug"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The keys are those that runtime/debug documents for BuildSetting.
func TestVersionOf(t *testing.T) {
	settings := func(more ...string) []debug.BuildSetting {
		list := []debug.BuildSetting{{Key: "-trimpath", Value: "true"}, {Key: "GOARCH", Value: "arm64"}, {Key: "GOOS", Value: "linux"}}
		for i := 0; i < len(more); i += 2 {
			list = append(list, debug.BuildSetting{Key: more[i], Value: more[i+1]})
		}
		return list
	}
	const revision, when = "1f31670c0ffee0123456789abcdef0123456789a", "2026-03-02T12:00:00Z"
	for _, tt := range []struct {
		name       string
		info       *debug.BuildInfo
		text, json string
	}{
		{"a release", &debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Version: "v1.2.0"}, Settings: settings("vcs", "git", "vcs.revision", revision, "vcs.time", when, "vcs.modified", "false")},
			"limekeep v1.2.0\nrevision " + revision + " of " + when + "\nbuilt with go1.26.8 for linux/arm64\n",
			`{"version":"v1.2.0","revision":"` + revision + `","time":"` + when + `","modified":false,"go":"go1.26.8","platform":"linux/arm64"}`},
		{"changed", &debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Version: "(devel)"}, Settings: settings("vcs.revision", revision, "vcs.time", when, "vcs.modified", "true")},
			"limekeep development\nrevision " + revision + " of " + when + ", with changes on top\nbuilt with go1.26.8 for linux/arm64\n",
			`{"version":"development","revision":"` + revision + `","time":"` + when + `","modified":true,"go":"go1.26.8","platform":"linux/arm64"}`},
		{"fetched as a module, or built with -buildvcs=false", &debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Version: "v1.2.0"}, Settings: settings()},
			"limekeep v1.2.0\nunknown revision: it was built without a note of the state of its source\nbuilt with go1.26.8 for linux/arm64\n",
			`{"version":"v1.2.0","revision":"","time":"","modified":null,"go":"go1.26.8","platform":"linux/arm64"}`},
		{"a revision alone", &debug.BuildInfo{GoVersion: "go1.26.8", Settings: []debug.BuildSetting{{Key: "vcs.revision", Value: revision}}},
			"limekeep development\nrevision " + revision + " of an unknown time; whether with changes is unknown\nbuilt with go1.26.8\n",
			`{"version":"development","revision":"` + revision + `","time":"","modified":null,"go":"go1.26.8","platform":""}`},
		{"no note at all", nil,
			"limekeep development\nunknown revision: it was built without a note of the state of its source\n",
			`{"version":"development","revision":"","time":"","modified":null,"go":"","platform":""}`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			v := versionOf(tt.info)
			if diff := cmp.Diff(tt.text, v.String()); diff != "" {
				t.Error(diff)
			}
			got, err := json.Marshal(v)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tt.json, string(got)); diff != "" {
				t.Error(diff)
			}
		})
	}
}
