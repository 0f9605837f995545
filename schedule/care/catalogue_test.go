package care_test

import (
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/sample/bound"
)

// shared is the embedded catalogue, read once.
var shared = sync.OnceValues(care.Embedded)

func embedded(t testing.TB) *care.Catalogue {
	t.Helper()
	c, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Tasks) == 0 || len(c.Hazards) == 0 {
		t.Fatalf("the catalogue holds %d tasks and %d hazards", len(c.Tasks), len(c.Hazards))
	}
	return c
}

// afresh reads the embedded catalogue anew, to see what somebody did to the
// shared one.
func afresh(t testing.TB) *care.Catalogue {
	t.Helper()
	c, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// units are those that limits may be stated in, with the drivers they are for.
var units = map[care.Driver][]string{
	care.ByShots:          {"shots", "lock-ins"},
	care.ByKilograms:      {"kg"},
	care.ByDays:           {"days"},
	care.BySealHours:      {"h"},
	care.ByScaleThickness: {"mm"},
	care.ByScaleMass:      {"g"},
	care.ByExchange:       {"of the capacity"},
	care.ByLitres:         {"of the rated litres"},
	care.ByWaterDoubt:     {"log spread"},
	care.ByHotHours:       {"h"},
	care.ByOrificeLoss:    {"of the flow"},

	care.ByBoilerChloride:   {"mg/L"},
	care.ByBoilerAlkalinity: {"mg/L CaCO3"},
	care.ByBoilerSolids:     {"mg/L"},
	care.ByTrend:            {"%", "bar", "K", "clicks"},
	care.BeforeAbsence:      {"days"},
	care.BeforeFrost:        {"days"},
	care.AfterAbsence:       {"days"},
}

// needs are the states a task may start from.
var needs = []string{"hot", "cold", "water off", "cartridges out", "group open", "unplugged"}

func TestCatalogueTasksAreComplete(t *testing.T) {
	c := embedded(t)
	for _, task := range c.Tasks {
		t.Run(task.ID, func(t *testing.T) {
			if strings.ToLower(task.ID) != task.ID || strings.ContainsAny(task.ID, " /_") {
				t.Errorf("the id is not of lower-case words and hyphens")
			}
			if task.Title == "" || task.Good == "" {
				t.Errorf("title %q, good %q", task.Title, task.Good)
			}
			if task.Minutes <= 0 || task.Minutes > 600 {
				t.Errorf("it takes %v minutes; no preferred time has more than 600", task.Minutes)
			}
			if len(task.Hazards) == 0 || len(task.MakeSafe) == 0 {
				t.Errorf("%d hazards, %d lines to make safe", len(task.Hazards), len(task.MakeSafe))
			}
			if got, want := len(c.Cautions(&task)), len(task.Hazards); got != want {
				t.Errorf("%d cautions for %d hazards", got, want)
			}
			if booked := task.Who.Booked(); booked != (len(task.Steps) == 0) {
				t.Errorf("booked %t with %d steps: licensed work is booked, all other explained", booked, len(task.Steps))
			}
			bareHands := slices.Contains([]string{"non-return-valve", "rcd-test", "bearings"}, task.ID)
			if has := len(task.Parts)+len(task.Tools) > 0; has == (bareHands || task.Who.Booked()) {
				t.Errorf("it names %v and %v to have at hand", task.Parts, task.Tools)
			}
			for _, word := range slices.Concat(task.When, task.Unless) {
				if !slices.Contains(care.Words(), word) {
					t.Errorf("%q can be true of no part", word)
				}
			}
			for _, need := range task.Needs {
				if !slices.Contains(needs, need) {
					t.Errorf("it starts from %q", need)
				}
			}
			for _, line := range slices.Concat(task.MakeSafe, task.Steps, []string{task.Good}) {
				if strings.TrimSpace(line) != line || !strings.HasSuffix(line, ".") {
					t.Errorf("not a sentence: %q", line)
				}
			}
		})
	}
}

func TestCatalogueLimits(t *testing.T) {
	for _, task := range embedded(t).Tasks {
		for _, g := range task.Gauges {
			if !slices.Contains(units[g.Driver], g.Unit) {
				t.Errorf("%s, %s: unit %q for %s", task.ID, g.Name, g.Unit, g.Driver)
			}
			for i, l := range g.Limits {
				if !(0 < l.Low && l.Low <= l.Usual && l.Usual <= l.High && !math.IsInf(l.High, 0)) {
					t.Errorf("%s, %s: limits %v, %v, %v", task.ID, g.Name, l.Low, l.Usual, l.High)
				}
				if len(l.Source) < len("common practice") {
					t.Errorf("%s, %s: the source is %q", task.ID, g.Name, l.Source)
				}
				for _, word := range l.For {
					if !slices.Contains(care.Words(), word) {
						t.Errorf("%s, %s: %q can be true of no part", task.ID, g.Name, word)
					}
				}
				if len(l.For) == 0 && i < len(g.Limits)-1 {
					t.Errorf("%s, %s: the limits behind one for all are never taken", task.ID, g.Name)
				}
			}
		}
	}
}

func TestCatalogueHazards(t *testing.T) {
	c := embedded(t)
	var used, seen []string
	for _, task := range c.Tasks {
		used = append(used, task.Hazards...)
	}
	for _, h := range c.Hazards {
		if h.ID == "" || !strings.HasSuffix(h.Caution, ".") {
			t.Errorf("hazard %q: %q", h.ID, h.Caution)
		}
		if slices.Contains(seen, h.ID) {
			t.Errorf("hazard %s stands there twice", h.ID)
		}
		seen = append(seen, h.ID)
		if !slices.Contains(used, h.ID) {
			t.Errorf("no task has hazard %s", h.ID)
		}
	}
	for _, id := range used {
		if !slices.Contains(seen, id) {
			t.Errorf("hazard %s has no caution", id)
		}
	}
}

// implied says which hazards come with which work, whatever the task.
var implied = []struct {
	name    string
	of      func(care.Task) bool
	hazards []string
}{
	{"acid", func(t care.Task) bool { return mentions(t, "acid") }, []string{"acid", "acid-gas", "back-siphonage", "pressure"}},
	{"an open group", func(t care.Task) bool { return slices.Contains(t.Needs, "group open") }, []string{"pressure"}},
	{"the mains", func(t care.Task) bool { return slices.Contains(t.Needs, "water off") }, []string{"flooding"}},
	{"heat", func(t care.Task) bool { return slices.Contains(t.Needs, "hot") }, []string{"hot-surface", "pressure"}},
	{"detergent", func(t care.Task) bool { return mentions(t, "backflush detergent") }, []string{"detergent", "food-contact"}},
	{"burrs", func(t care.Task) bool { return t.Per == care.PerGrinder && slices.Contains(t.Needs, "unplugged") }, []string{"sharp-edge", "mains-electricity"}},
	{"a heated vessel", func(t care.Task) bool { return t.Per == care.PerVessel }, []string{"dry-element", "hot-surface", "steam", "suck-back"}},
	{"the steam valve", func(t care.Task) bool { return strings.Contains(strings.Join(t.MakeSafe, " "), "steam valve") }, []string{"steam"}},
	{"water that is drunk", func(t care.Task) bool {
		return t.Per == care.PerCartridge || t.Per == care.PerLine && slices.Contains(t.Needs, "water off")
	}, []string{"food-contact"}},
}

// mentions tells whether a task is done with something.
func mentions(t care.Task, part string) bool {
	return slices.ContainsFunc(slices.Concat(t.Parts, t.Tools), func(p string) bool { return strings.Contains(p, part) })
}

func TestCatalogueNamesTheHazardsThatWorkBrings(t *testing.T) {
	c := embedded(t)
	for _, rule := range implied {
		met := 0
		for _, task := range c.Tasks {
			if !rule.of(task) {
				continue
			}
			met++
			for _, hazard := range rule.hazards {
				if !slices.Contains(task.Hazards, hazard) {
					t.Errorf("%s: work with %s without hazard %s", task.ID, rule.name, hazard)
				}
			}
		}
		if met == 0 {
			t.Errorf("no task has to do with %s", rule.name)
		}
	}
}

// British spelling, and sulfate as IUPAC has it.
func TestCatalogueSpelling(t *testing.T) {
	c := embedded(t)
	var text []string
	for _, h := range c.Hazards {
		text = append(text, h.Caution)
	}
	for _, task := range c.Tasks {
		text = append(text, task.Title, task.Refuse, task.Good)
		text = append(text, slices.Concat(task.MakeSafe, task.Steps, task.Parts, task.Tools)...)
		for _, g := range task.Gauges {
			text = append(text, g.Name)
			for _, l := range g.Limits {
				text = append(text, l.Source)
			}
		}
	}
	for _, line := range text {
		lower := strings.ToLower(line)
		for _, word := range []string{"liter", "fiber", "center", "aluminum", "sulph", "color", "gray", "mold ", "odor", "degree celsius", "℃", " deg ", "grams of "} {
			if strings.Contains(lower, word) {
				t.Errorf("%q in %q", word, line)
			}
		}
	}
}

// complete is a catalogue of one task in which nothing is missing. Invented.
const complete = `
hazards:
  - id: pressure
    caution: It stands under pressure.
tasks:
  - id: wipe
    title: Wipe the {part}
    per: group
    who: owner
    minutes: 5
    findings: none
    tolerance: {early: 0.5, late: 1, harm: It gets dirty.}
    at_stake: 20
    gauges:
      - name: shots since
        driver: shots
        unit: shots
        limits:
          - {low: 10, usual: 20, high: 40, source: common practice}
    hazards: [pressure]
    make_safe: [Let it cool.]
    steps: [Wipe it.]
    good: It shines.
    otherwise: [Wipe again.]
`

func TestParseTakesACompleteCatalogue(t *testing.T) {
	c, err := care.Parse([]byte(complete))
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Tasks) != 1 || c.Tasks[0].Gauges[0].Limits[0].Usual != 20 {
		t.Errorf("read %+v", c.Tasks)
	}
	licensed := strings.NewReplacer("who: owner", "who: licensed", "steps: [Wipe it.]", "ask_for: [A wipe.]\n    check: [It shines.]").Replace(complete)
	if _, err := care.Parse([]byte(licensed)); err != nil {
		t.Errorf("work that is booked: %v", err)
	}
}

func TestParseRefuses(t *testing.T) {
	second := complete[strings.Index(complete, "  - id: wipe"):]
	tests := []struct {
		name, old, new string
		says           []string
	}{
		{"nothing", complete, "", []string{"cannot be read"}},
		{"no YAML", complete, "tasks: [", []string{"cannot be read"}},
		{"an unknown field of a task", "minutes: 5", "minutes: 5\n    colour: red", []string{"colour"}},
		{"an unknown field of a limit", "usual: 20", "usual: 20, typical: 20", []string{"typical"}},
		{"an unknown field of a hazard", "caution: It", "danger: high\n    caution: It", []string{"danger"}},
		{"a word for a number", "minutes: 5", "minutes: long", []string{"cannot be read"}},
		{"an id twice", "    otherwise: [Wipe again.]\n", "    otherwise: [Wipe again.]\n" + second, []string{"task 2", `"wipe"`}},
		{"no id", "id: wipe", "id: ''", []string{"task 1"}},
		{"a hazard twice", "tasks:", "  - id: pressure\n    caution: Again.\ntasks:", []string{"pressure", "twice"}},
		{"a hazard nobody knows", "hazards: [pressure]", "hazards: [pressure, dragon]", []string{"wipe", "dragon", "no caution"}},
		{"a hazard without caution", "caution: It stands under pressure.", "caution: ''", []string{"wipe", "pressure", "no caution"}},
		{"no hazard", "hazards: [pressure]", "hazards: []", []string{"wipe", "no hazard"}},
		{"no making safe", "make_safe: [Let it cool.]", "make_safe: []", []string{"wipe", "make safe"}},
		{"no title", "title: Wipe the {part}", "title: ''", []string{"wipe", "title"}},
		{"an odd part", "per: group", "per: cup", []string{"wipe", `"cup"`}},
		{"an odd person", "who: owner", "who: cat", []string{"wipe", `"cat"`}},
		{"odd findings", "findings: none", "findings: gold", []string{"wipe", `"gold"`}},
		{"licensed work explained", "who: owner", "who: licensed", []string{"wipe", "never explained"}},
		{"a workshop's work explained", "who: owner", "who: workshop", []string{"wipe", "never explained"}},
		{"nothing at stake", "at_stake: 20", "at_stake: 0", []string{"wipe", "at stake"}},
		{"a wait that takes all", "minutes: 5", "minutes: 5\n    waits: [{after: 0, minutes: 5, for: soaking, source: assumption}]", []string{"wipe", "0 minutes of hands"}},
		{"a wait after the end", "minutes: 5", "minutes: 5\n    waits: [{after: 4, minutes: 3, for: soaking, source: assumption}]", []string{"wipe", "comes after 4"}},
		{"a wait without a source", "minutes: 5", "minutes: 5\n    waits: [{after: 1, minutes: 3, for: soaking}]", []string{"wipe", "by whose word"}},
		{"covering nothing", "minutes: 5", "minutes: 5\n    covers: [polish]", []string{"wipe", `"polish"`}},
		{"covering itself", "minutes: 5", "minutes: 5\n    covers: [wipe]", []string{"wipe", "no other task"}},
		{"no steps", "steps: [Wipe it.]", "steps: []", []string{"wipe", "no steps"}},
		{"no time", "minutes: 5", "minutes: 0", []string{"wipe", "no time"}},
		{"time that is no number", "minutes: 5", "minutes: .nan", []string{"wipe", "no time"}},
		{"no gauge", complete[strings.Index(complete, "    gauges:"):strings.Index(complete, "    hazards:")], "    gauges: []\n", []string{"wipe", "no gauge"}},
		{"an odd driver", "driver: shots", "driver: moon", []string{"wipe", "shots since", `"moon"`}},
		{"no name of a gauge", "name: shots since", "name: ''", []string{"wipe", "no name"}},
		{"no unit", "unit: shots", "unit: ''", []string{"wipe", "no unit"}},
		{"no limit", "limits:\n          - {low: 10, usual: 20, high: 40, source: common practice}", "limits: []", []string{"wipe", "no limit"}},
		{"limits that fall", "low: 10, usual: 20", "low: 30, usual: 20", []string{"wipe", "30, 20, 40", "do not rise"}},
		{"limits that fall later", "high: 40", "high: 15", []string{"wipe", "10, 20, 15", "do not rise"}},
		{"a limit of none", "low: 10", "low: 0", []string{"wipe", "0, 20, 40", "do not rise"}},
		{"a limit below none", "low: 10", "low: -1", []string{"wipe", "do not rise"}},
		{"a limit that is no number", "usual: 20", "usual: .nan", []string{"wipe", "do not rise"}},
		{"a limit without end", "high: 40", "high: .inf", []string{"wipe", "do not rise"}},
		{"no source", "source: common practice", "source: ''", []string{"wipe", "no source"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			data := strings.Replace(complete, test.old, test.new, 1)
			if data == complete {
				t.Fatalf("%q does not stand in the catalogue", test.old)
			}
			c, err := care.Parse([]byte(data))
			if err == nil || c != nil {
				t.Fatalf("taken: %v", c)
			}
			for _, part := range test.says {
				if !strings.Contains(err.Error(), part) {
					t.Errorf("it does not say %q: %v", part, err)
				}
			}
		})
	}
}

// Whatever stands in the file, reading it ends in a catalogue or an error.
func FuzzParse(f *testing.F) {
	f.Add([]byte(complete))
	f.Add([]byte("tasks: [{id: a}]"))
	f.Add([]byte("a: &a [*a]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bound.Memory(t)()
		c, err := care.Parse(data)
		if err != nil {
			return
		}
		for i := range c.Tasks {
			task := &c.Tasks[i]
			if len(c.Cautions(task)) != len(task.Hazards) {
				t.Errorf("task %q: %d cautions for %d hazards", task.ID, len(c.Cautions(task)), len(task.Hazards))
			}
		}
	})
}
