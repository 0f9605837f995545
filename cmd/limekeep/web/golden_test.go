package web_test

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/cmd/limekeep/web/locale"
)

var update = flag.Bool("update", false, "write the pages as they are now to testdata")

// tokens are drawn at random; all else on a page is not.
var tokens = regexp.MustCompile(`name="ticket" value="[^"]+"`)

// goldenPages are addresses by the files that hold what they show.
var goldenPages = map[string]string{
	"now.html":      "/",
	"task.html":     "/tasks/bench/descale/brew",
	"check.html":    "/tasks/grinder/shot-time",
	"water.html":    "/water/new",
	"plan.html":     "/plan",
	"use.html":      "/use",
	"takeback.html": "/history/6/take-back",
	"history.html":  "/history",
	"score.html":    "/score",
	"calendar.html": "/calendar",
	"machine.html":  "/equipment/bench",
	"line.html":     "/water",
	"vessel.html":   "/equipment/bench/steam",
	"settings.html": "/settings",
	"change.html":   "/settings/equipment/bench",
	"own.html":      "/own-calendar",
	"care.html":     "/settings/care",
}

// The whole pages, to be read when they change: go test -update writes them
// anew.
func TestGoldenPages(t *testing.T) {
	desk, _ := readKitchen(t)
	h := open(desk, withApps(twoApps()))
	for name, path := range goldenPages {
		t.Run(name, func(t *testing.T) {
			_, body := ask(t, h, get(path))
			body = tokens.ReplaceAllString(body, `name="ticket" value="TICKET"`)
			file := filepath.Join("testdata", name)
			if *update {
				if err := os.WriteFile(file, []byte(body), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), body); diff != "" {
				t.Errorf("%s has changed (go test -update writes it anew):\n%s", path, diff)
			}
		})
	}
	t.Run("as a reader of Finnish has them", func(t *testing.T) {
		asked := get(goldenPages["plan.html"], "Accept-Language", "fi")
		_, body := ask(t, h, asked)
		golden, err := os.ReadFile(filepath.Join("testdata", "plan.html"))
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(locale.For(asked).Rewrite(golden)), tokens.ReplaceAllString(body, `name="ticket" value="TICKET"`)); diff != "" {
			t.Error(diff)
		}
	})
}
