package main

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/advice"
)

var updateGolden = flag.Bool("update", false, "write the golden files anew")

// TestWaterJudgeText holds the text of one judgement to a golden file.
func TestWaterJudgeText(t *testing.T) {
	got := command(t, "water", "judge", "--hardness", "14 dH", "--alkalinity", "11 dH", "--ph", "6.9 by meter",
		"--chloride", "40 mg/L ± 4 by strip", "--free-chlorine", "0.4 mg/L by strip", "--conductivity", "390 µS/cm by meter")
	if got.err != nil {
		t.Fatal(got.err)
	}
	golden := filepath.Join("testdata", "waterjudge.txt")
	if *updateGolden {
		if err := os.WriteFile(golden, []byte(got.out), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got.out); diff != "" {
		t.Errorf("the text differs (-want +got):\n%s", diff)
	}
}

// The newest test of a line is judged from the records, and reads the same as
// its values given by hand.
func TestWaterJudgeOfALine(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes seconds; make test has it")
	}
	place := filepath.Join(t.TempDir(), "place.yaml")
	if err := os.WriteFile(place, testKitchen, 0o600); err != nil {
		t.Fatal(err)
	}
	data := filepath.Join(t.TempDir(), "records.db")
	in := func(args ...string) commandResult {
		return command(t, append(args, "--data", data, "--today", "2026-03-31")...)
	}
	if got := in("setup", place); got.err != nil {
		t.Fatal(got.err)
	}
	if got := in("water", "judge"); got.err == nil || !strings.Contains(got.err.Error(), "no water test is written down") {
		t.Fatalf("without a test: %+v", got)
	}
	values := []string{"--hardness", "9 dH", "--alkalinity", "7 dH", "--ph", "7.4 by meter"}
	if got := in(append([]string{"water", "add", "--date", "2026-03-02"}, values...)...); got.err != nil {
		t.Fatal(got.err)
	}
	stored := in("water", "judge", "--line", "tap")
	if stored.err != nil {
		t.Fatal(stored.err)
	}
	if !strings.HasPrefix(stored.out, "Test of tap on Mon 2 Mar 2026 (record ") {
		t.Errorf("the text begins %q", strings.SplitN(stored.out, "\n", 2)[0])
	}
	byHand := command(t, append([]string{"water", "judge"}, values...)...)
	_, fromRecords, _ := strings.Cut(stored.out, "\n\n")
	_, fromFlags, _ := strings.Cut(byHand.out, "\n\n")
	if fromFlags == "" || fromRecords != fromFlags {
		t.Errorf("the same values read otherwise:\n%s", cmp.Diff(fromFlags, fromRecords))
	}
	asJSON := in("water", "judge", "--json")
	var j advice.WaterJudgement
	if err := json.Unmarshal([]byte(asJSON.out), &j); err != nil {
		t.Fatal(err)
	}
	if j.Line != "tap" || j.On == nil || j.On.String() != "2026-03-02" || len(j.Test.Values) != 3 {
		t.Errorf("the JSON reads %+v", j)
	}
}

func TestWaterJudgeErrors(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--hardness", "14 dH", "--line", "tap"}, "--line"},
		{[]string{"--celsius", "20"}, "--celsius"},
		{[]string{"--method", "strip"}, "--method"},
		{[]string{"--method", "guess", "--hardness", "14 dH"}, "--method"},
		{[]string{"--hardness", "hard"}, "--hardness"},
		{[]string{"--hardness", "14 dH", "--conductivity", "50 µS/cm by meter"}, "measure again conductivity"},
	} {
		// A data file that cannot be opened shows that none is asked for.
		got := command(t, append([]string{"water", "judge", "--data", filepath.Join(t.TempDir(), "no", "folder", "records.db")}, c.args...)...)
		if got.err == nil || !strings.Contains(got.err.Error(), c.want) || got.out != "" {
			t.Errorf("%v: got %v, want an error with %q", c.args, got.err, c.want)
		}
	}
}
