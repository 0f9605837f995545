package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/viper"
)

// forged is a note that would be a line of its own, in another colour or the other way round,
// where it is printed as it is.
const forged = "as ever\nFORGED 99  2030-01-01  service\tcommand \u202e FORGED\u2066\u2028FORGED"

// What somebody wrote into a note is never a line of ours in the output of any command, nor
// does it part columns or turn the writing round.
func TestNotesForgeNoLine(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	folder := t.TempDir()
	t.Setenv("HOME", folder)
	t.Setenv("XDG_CONFIG_HOME", folder)
	place := strings.Replace(readsPlace, "vessels: [{id: brew, kind: brew boiler, material: brass}]", `vessels: [{id: brew, kind: brew boiler, material: brass, no_descaler: "as ever\nFORGED by the maker"}]`, 1) + `
care:
  tasks:
    - {id: hinges, title: Oil the hinges, equipment: machine, months: 3, minutes: 5, steps: ["drip"], note: "as ever\nFORGED of a task"}
`
	out := map[string]string{}
	run := func(line ...string) {
		t.Helper()
		root := rootOf(&app{settings: viper.New()})
		var told bytes.Buffer
		root.SetOut(&told)
		root.SetErr(&told)
		root.SetIn(strings.NewReader(place))
		root.SetArgs(append(line, "--data", filepath.Join(folder, "records.db"), "--worlds", "20", "--effort", "1000"))
		if err := root.ExecuteContext(t.Context()); err != nil {
			t.Fatalf("%v: %v", line, err)
		}
		out[strings.ReplaceAll(strings.Join(line, " "), forged, "NOTE")] = told.String()
	}
	run("setup", "-")
	for _, line := range []string{
		"water add --hardness 14dH --alkalinity 11dH --note", "use add --shots 3 --note", "use meter 10432 --note", "away add --from 2030-01-02 --to 2030-01-09 --note", "use guests --from 2030-03-02 --shots 9 --note",
		"done group-gasket --note", "measure pump-pressure --bar 9 --note", "block 2030-02-02 --note",
	} {
		run(append(strings.Fields(line), forged)...)
	}
	run("void", "6", "--why", forged)
	for _, line := range []string{
		"history", "history --last 3", "away list", "measure show", "due", "next", "why group-gasket", "why hinges", "why descale/brew", "tasks", "steps group-gasket", "steps hinges", "plan", "stock", "use show", "score", "water judge", "descale brew", "calendar address",
	} {
		run(strings.Fields(line)...)
	}
	held := 0
	for command, told := range out {
		for line := range strings.Lines(told) {
			if strings.HasPrefix(strings.TrimSpace(line), "FORGED") || strings.ContainsAny(line, "\u202e\u2066\u2028\u2029\x1b\r") {
				t.Errorf("limekeep %s: %q", command, line)
			}
		}
		if strings.Contains(told, "FORGED") {
			held++
		}
	}
	if held < 3 {
		t.Errorf("%d commands show a note: too few to tell anything", held)
	}
}
