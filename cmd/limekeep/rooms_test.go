package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rooms says which rooms each room may import. Imports run one way only:
// cmd, web, then journal, agenda and advice, day, plan, wear, use and care, record,
// water. Sentences are said of what is worked out below a day, and the words that
// rooms share know the records alone. The calendar objects are made from answers; the store knows the records it keeps and the
// contract it fulfils; only the wiring knows the store.
var rooms = map[string][]string{
	"water":                      {},
	"water/figure":               {},
	"water/watertest":            {"water"},
	"water/steam":                {"water", "water/watertest"},
	"water/equilibrium":          {"water", "water/steam", "water/watertest"},
	"water/conductivity":         {"water", "water/equilibrium", "water/watertest"},
	"water/inference":            {"water", "water/equilibrium", "water/conductivity", "water/watertest"},
	"water/potential":            {"water", "water/equilibrium", "water/inference", "water/watertest"},
	"water/corrosion":            {"water", "water/conductivity", "water/inference", "water/watertest"},
	"water/deposit":              {"water", "water/watertest"},
	"water/boiler":               {"water", "water/steam", "water/equilibrium", "water/conductivity", "water/inference", "water/corrosion", "water/deposit", "water/watertest"},
	"water/treatment":            {"water", "water/equilibrium", "water/conductivity", "water/corrosion", "water/watertest"},
	"water/descaling":            {"water", "water/watertest"},
	"schedule/record":            {"water"},
	"schedule/care":              {"schedule/exact", "schedule/record", "water"},
	"schedule/recur":             {},
	"schedule/use":               {"schedule/record", "water"},
	"schedule/wear":              {"schedule/exact", "schedule/care", "schedule/use", "schedule/record", "water"},
	"schedule/plan":              {"schedule/wear", "schedule/care", "schedule/use", "schedule/record", "water"},
	"schedule/score":             {"schedule/wear", "schedule/care", "schedule/record", "water"},
	"schedule":                   {"schedule/record"},
	"schedule/exact":             {},
	"schedule/say":               {"schedule", "schedule/score", "schedule/plan", "schedule/wear", "schedule/care", "schedule/record", "water"},
	"schedule/say/customary":     {"schedule/record", "water"},
	"schedule/day":               {"schedule", "schedule/exact", "schedule/say", "schedule/score", "schedule/plan", "schedule/wear", "schedule/care", "schedule/use", "schedule/record", "water"},
	"schedule/interview":         {"schedule", "schedule/day", "schedule/wear", "schedule/care", "schedule/record", "water"},
	"schedule/advice":            {"schedule", "schedule/day", "schedule/say", "schedule/wear", "schedule/care", "schedule/record", "water"},
	"schedule/agenda":            {"schedule", "schedule/day", "schedule/say", "schedule/say/customary", "schedule/plan", "schedule/care", "schedule/record"},
	"schedule/checklist":         {"schedule/day", "schedule/record"},
	"schedule/round":             {"schedule/day", "schedule/plan", "schedule/care", "schedule/record"},
	"schedule/journal":           {"schedule", "schedule/agenda", "schedule/day", "schedule/say", "schedule/wear", "schedule/care", "schedule/record", "water"},
	"schedule/ical":              {"schedule/recur", "schedule/agenda", "schedule/day", "schedule/care", "schedule/record"},
	"schedule/sample":            {"schedule", "schedule/plan", "schedule/agenda", "schedule/day", "schedule/journal", "schedule/care", "schedule/record", "water"},
	"schedule/sample/bound":      {},
	"store":                      {"schedule", "schedule/record", "water"},
	"cmd/limekeep/foreign":       {},
	"store/testserver":           {},
	"cmd/limekeep/spell":         {"schedule", "schedule/record"},
	"cmd/limekeep/web/dav":       {"cmd/limekeep/foreign", "schedule/recur"},
	"cmd/limekeep/web/wording":   {},
	"cmd/limekeep/web/picture":   {"cmd/limekeep/web/wording", "schedule/record"},
	"cmd/limekeep/web/locale":    {"schedule/say/customary", "water"},
	"cmd/limekeep/web/packing":   {},
	"cmd/limekeep/web/gate":      {"schedule"},
	"cmd/limekeep/web/roles":     {},
	"cmd/limekeep/web/form":      {"cmd/limekeep/web/wording", "water", "schedule", "schedule/record"},
	"cmd/limekeep/web/placeform": {"cmd/limekeep/web/wording", "cmd/limekeep/web/form", "schedule/record", "water"},
	"cmd/limekeep/web/api":       {"cmd/limekeep/foreign", "cmd/limekeep/intake/csvfile", "cmd/limekeep/intake/fleetfile", "cmd/limekeep/intake/placefile", "cmd/limekeep/intake/busycal", "cmd/limekeep/intake/shotlog", "schedule", "schedule/advice", "schedule/day", "schedule/interview", "schedule/journal", "schedule/score", "schedule/wear", "schedule/record", "water"},
	"cmd/limekeep/web":           {"cmd/limekeep/web/wording", "cmd/limekeep/web/roles", "cmd/limekeep/web/dav", "cmd/limekeep/web/api", "cmd/limekeep/web/picture", "cmd/limekeep/web/locale", "cmd/limekeep/web/packing", "cmd/limekeep/web/gate", "cmd/limekeep/web/form", "cmd/limekeep/web/placeform", "cmd/limekeep/intake/csvfile", "cmd/limekeep/intake/fleetfile", "cmd/limekeep/intake/placefile", "cmd/limekeep/intake/busycal", "cmd/limekeep/intake/shotlog", "schedule", "schedule/advice", "schedule/agenda", "schedule/checklist", "schedule/day", "schedule/interview", "schedule/journal", "schedule/ical", "schedule/round", "schedule/say", "schedule/say/customary", "schedule/score", "schedule/care", "schedule/record", "water"},

	"cmd/limekeep/intake/csvfile":   {"schedule/record"},
	"cmd/limekeep/intake/shotlog":   {"cmd/limekeep/intake/csvfile", "schedule", "schedule/use", "schedule/record"},
	"cmd/limekeep/intake/yamlfile":  {"schedule/record"},
	"cmd/limekeep/intake/placefile": {"cmd/limekeep/intake/yamlfile", "schedule", "schedule/care", "schedule/record"},
	"cmd/limekeep/intake/busycal":   {"cmd/limekeep/foreign", "schedule", "schedule/plan", "schedule/recur", "schedule/record"},

	"cmd/limekeep/intake/fleetfile": {"cmd/limekeep/intake/csvfile", "cmd/limekeep/intake/placefile", "schedule", "schedule/record"},
	"cmd/limekeep/intake/roundfile": {"cmd/limekeep/intake/yamlfile", "schedule/round", "schedule/record"},

	"cmd/limekeep": {"cmd/limekeep/web/roles", "cmd/limekeep/intake/fleetfile", "cmd/limekeep/intake/roundfile", "schedule/round", "cmd/limekeep/intake/csvfile", "cmd/limekeep/intake/shotlog", "cmd/limekeep/intake/placefile", "cmd/limekeep/intake/busycal", "cmd/limekeep/web", "cmd/limekeep/web/api", "cmd/limekeep/web/gate", "cmd/limekeep/foreign", "cmd/limekeep/spell", "schedule", "schedule/advice", "schedule/agenda", "schedule/day", "schedule/interview", "schedule/journal", "schedule/say", "schedule/say/customary", "schedule/score", "schedule/ical", "schedule/plan", "schedule/wear", "schedule/care", "schedule/use", "schedule/record", "store", "water"},
}

// everywhere are the rooms that any other may import.
var everywhere = []string{"water/figure"}

// pure rooms hold no clock, no chance and no input or output, so what they
// give depends on what they are given.
var pure = []string{"water", "water/figure", "schedule/record", "schedule/care", "schedule/recur", "schedule/use", "schedule/wear", "schedule/plan", "schedule/score", "schedule/say", "schedule/say/customary", "schedule/day", "schedule/advice", "schedule/checklist", "schedule/interview", "schedule/exact"}

// forTests are the rooms that tests of any other may use: the invented places,
// which know all rooms of the schedule, and what it takes to write down and publish
// what a question is asked about.
var forTests = []string{"cmd/limekeep/spell", "schedule/sample", "schedule/sample/bound", "schedule", "schedule/day", "schedule/journal", "schedule/agenda", "store/testserver"}

// impure are the packages of the standard library that would break that.
var impure = []string{"os", "net", "net/http", "math/rand", "math/rand/v2", "crypto/rand", "database/sql", "log", "log/slog", "os/exec", "io/ioutil"}

// chapter reports whether a room is a chapter of the handbook. All are pure.
func chapter(room string) bool { return strings.HasPrefix(room, "water/") }

// module is the path that rooms are imported under.
const module = "limekeep/"

func TestImportsRunOneWay(t *testing.T) {
	top := filepath.Join("..", "..")
	seen := map[string]bool{}
	err := filepath.WalkDir(top, func(file string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && (entry.Name() == "node_modules" || entry.Name() == "testdata" || entry.Name() == ".git") {
			return fs.SkipDir
		}
		if !strings.HasSuffix(file, ".go") {
			return nil
		}
		relative, err := filepath.Rel(top, file)
		if err != nil {
			return err
		}
		room := path.Dir(filepath.ToSlash(relative))
		allowed, ok := rooms[room]
		if !ok {
			t.Errorf("%s lies in no room of the house", relative)
			return nil
		}
		seen[room] = true
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		test := strings.HasSuffix(file, "_test.go")
		for _, i := range parsed.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			to, ours := strings.CutPrefix(name, module)
			if to == "water/watertest" && !test {
				t.Errorf("%s imports %s: that is for tests alone", relative, to)
			}
			if chapter(to) && !slices.Contains(everywhere, to) && !chapter(room) && room != "water" {
				to = "water" // whoever may open the handbook may open any chapter
			}
			if ours && !slices.Contains(allowed, to) && !slices.Contains(everywhere, to) && !(test && (to == room || slices.Contains(forTests, to))) {
				t.Errorf("%s imports %s: that runs the wrong way", relative, to)
			}
			if !test && (slices.Contains(pure, room) || chapter(room)) && slices.Contains(impure, name) {
				t.Errorf("%s imports %s: the room is pure", relative, name)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for room := range rooms {
		if !seen[room] {
			t.Errorf("the room %s is empty", room)
		}
	}
}
