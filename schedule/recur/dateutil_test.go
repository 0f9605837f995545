package recur

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// wallForm is how the reference writes times.
const wallForm = "20060102T150405"

// asked is what is compared with the reference.
type asked struct {
	Rule  string `json:"rule"`
	Start string `json:"start"`
	To    string `json:"to"`
}

// parts are values that rules are put together from at random.
var parts = map[string][]string{
	"BYMONTH": {"2", "3,11", "12", "1,2,3,4,5,6"}, "BYMONTHDAY": {"29", "-1", "1,15,31", "13", "-31,30"}, "BYYEARDAY": {"60,366", "1,-1", "-366,200"}, "BYWEEKNO": {"1", "20", "-1", "2,51"},
	"BYDAY": {"FR", "MO,WE", "SA,SU", "1MO", "-1FR,2TU", "53TH,-53WE", "MO,TU,WE,TH,FR"}, "BYHOUR": {"6,18", "0", "9"}, "BYMINUTE": {"0,30", "59"}, "BYSECOND": {"0", "15,45"},
	"BYSETPOS": {"1", "-1", "2,-2", "366"}, "WKST": {"SU", "TH"}, "COUNT": {"1", "7", "40"}, "UNTIL": {"20280229T080000", "20240101T000000"},
}

// randomRules are rules of every frequency with up to four parts.
func randomRules(seed uint64, count int) (list []asked) {
	r := rand.New(rand.NewPCG(seed, 5545))
	names := make([]string, 0, len(parts))
	for name := range parts {
		names = append(names, name)
	}
	slices.Sort(names)
	frequencies := []string{"YEARLY", "MONTHLY", "WEEKLY", "DAILY", "HOURLY", "MINUTELY", "SECONDLY"}
	for len(list) < count {
		freq := frequencies[r.IntN(len(frequencies))]
		start := time.Date(2019+r.IntN(6), time.Month(1+r.IntN(12)), 1+r.IntN(31), r.IntN(24), 15*r.IntN(4), 0, 0, time.UTC)
		interval, to := 1+r.IntN(5), start.AddDate(8, 0, 0)
		switch freq {
		case "HOURLY":
			interval, to = 1+r.IntN(50), start.AddDate(0, 4, 0)
		case "MINUTELY":
			interval, to = 1+r.IntN(500), start.AddDate(0, 0, 20)
		case "SECONDLY":
			interval, to = 1+r.IntN(5000), start.AddDate(0, 0, 2)
		}
		rule := fmt.Sprintf("FREQ=%s;INTERVAL=%d", freq, interval)
		r.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		for _, name := range names[:r.IntN(5)] {
			rule += ";" + name + "=" + parts[name][r.IntN(len(parts[name]))]
		}
		if a := (asked{rule, start.Format(wallForm), to.Format(wallForm)}); !endless(a) && bothSay(rule) {
			list = append(list, a)
		}
	}
	return list
}

// endless reports rules that the reference would go through up to its last year,
// or turn round for ever: those that have nothing in the window, as far as we can
// tell. They are in TestBounded.
func endless(a asked) bool {
	starts, err := expand(a, NewBudget(math.MaxInt32))
	return err != nil || len(starts) == 0
}

// bothSay reports whether the reference means what RFC 5545 says. BYSETPOS
// beside nothing that it could pick from is not allowed there. Not among the parts
// above is what it has in a way of its own: of a BYDAY with each Monday and the
// last Friday it takes what is both, and of a week on both sides of New Year
// sometimes one side alone, where it is the 52nd or 53rd. TestWeeks is about those.
func bothSay(rule string) bool {
	return !strings.Contains(rule, "BYSETPOS") || strings.Contains(strings.ReplaceAll(rule, "BYSETPOS", ""), ";BY")
}

func expand(a asked, b *Budget) ([]time.Time, error) {
	rule, err := ParseRule(a.Rule)
	if err != nil {
		return nil, err
	}
	start, err := time.Parse(wallForm, a.Start)
	if err != nil {
		return nil, err
	}
	to, err := time.Parse(wallForm, a.To)
	if err != nil {
		return nil, err
	}
	return Set{Start: start, Rule: &rule}.In(context.Background(), Window{start, to}, b)
}

// Rules at random have the occurrences that python-dateutil finds, an independent
// program that follows them in another way. A part of a window has the same as the
// whole.
func TestAgreesWithDateutil(t *testing.T) {
	if testing.Short() {
		t.Skip("it needs a program that the quick run does without; make test has it")
	}
	const python = "/usr/bin/python3" // the one that Debian's python3-dateutil is for
	rules := randomRules(1, 500)
	var in, out, remarks bytes.Buffer
	for _, a := range rules {
		if err := json.NewEncoder(&in).Encode(a); err != nil {
			t.Fatal(err)
		}
	}
	command := exec.CommandContext(t.Context(), python, filepath.Join("..", "..", ".ci", "clients", "recur-dateutil.py"))
	command.Stdin, command.Stdout, command.Stderr = &in, &out, &remarks
	if err := command.Run(); err != nil {
		t.Fatalf("python3-dateutil (run `bash .ci/install` where it is not there): %v\n%s", err, &remarks)
	}
	answers := json.NewDecoder(&out)
	occurrences := 0
	for _, a := range rules {
		var want, got []string
		if err := answers.Decode(&want); err != nil {
			t.Fatal(err)
		}
		starts, err := expand(a, NewBudget(math.MaxInt32))
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range starts {
			got = append(got, at.Format(wallForm))
		}
		if occurrences += len(got); !slices.Equal(got, want) {
			t.Errorf("%s from %s: %d occurrences, want %d\n got %.200v\nwant %.200v", a.Rule, a.Start, len(got), len(want), got, want)
		}
	}
	t.Logf("%d rules, %d occurrences", len(rules), occurrences)
}
