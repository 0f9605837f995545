package care_test

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule/care"
	"limekeep/schedule/record"
)

// answers says which words in a task's lines answer a hazard: what is done
// against it before or, for what is drunk, within the work.
var answers = map[string][]string{
	"pressure":          {"pressure", "relieve", "Relieve"},
	"steam":             {"steam", "wand"},
	"hot-surface":       {"40 °C", "hot", "cool", "hands off"},
	"mains-electricity": {"plug", "prove the machine dead", "test button", "Unplug"},
	"dry-element":       {"No power until", "run dry", "runs dry", "is full before", "heater off", "Refill before"},
	"acid":              {"gloves"},
	"acid-gas":          {"open to the air"},
	"detergent":         {"gloves"},
	"suck-back":         {"clear of liquids", "sucks back", "suck it back"},
	"stored-spring":     {"out of the lever's path"},
	"sharp-edge":        {"rim", "handle off", "gloves", "fingers out"},
	"flooding":          {"mains valve", "shut-off valve", "next valve"},
	"back-siphonage":    {"disconnect"},
	"frost":             {"5 °C"},
	"lifting":           {"two people", "Do not lift"},
	"food-contact":      {"rinse", "Rinse", "clean hands", "Wash", "wash", "fit for", "throw", "Wipe", "thrown away", "poured", "pour tested"},
}

// Every hazard that a task names is met by a line of its own: before the work,
// or, where it is about what is eaten and drunk or about the end of the work,
// among its steps.
func TestEveryHazardIsMadeSafe(t *testing.T) {
	c := embedded(t)
	within := []string{"food-contact", "dry-element", "suck-back"}
	for _, h := range c.Hazards {
		if len(answers[h.ID]) == 0 {
			t.Errorf("nothing answers hazard %s", h.ID)
		}
	}
	for _, task := range c.Tasks {
		for _, hazard := range task.Hazards {
			lines := task.MakeSafe
			if slices.Contains(within, hazard) {
				lines = slices.Concat(lines, task.Steps)
			}
			text := strings.Join(lines, " ")
			if !slices.ContainsFunc(answers[hazard], func(word string) bool { return strings.Contains(text, word) }) {
				t.Errorf("%s: no line answers hazard %s", task.ID, hazard)
			}
		}
	}
}

// To open a machine takes one order, in which no step comes before the one it
// rests on.
func TestOpeningKeepsItsOrder(t *testing.T) {
	c := embedded(t)
	i := slices.IndexFunc(c.Orders, func(o care.SafeOrder) bool { return o.ID == "to-open" })
	if i < 0 {
		t.Fatal("there is no order to open")
	}
	order := []string{"plug", "mains valve", "brew circuit at the group", "steam valve", "40 °C", "zero alone proves nothing"}
	if len(c.Orders[i].Lines) != len(order) {
		t.Fatalf("%d lines for %d things to do", len(c.Orders[i].Lines), len(order))
	}
	for k, word := range order {
		if !strings.Contains(c.Orders[i].Lines[k], word) {
			t.Errorf("line %d says nothing of %q: %s", k+1, word, c.Orders[i].Lines[k])
		}
	}
	for _, task := range c.Tasks {
		opens := slices.Contains(task.Needs, "water off") && task.Per != care.PerLine && task.Per != care.PerCartridge
		if opens && task.ID != "descale" && task.Order != "to-open" && task.Order != "lever-down" {
			t.Errorf("%s is opened without the order to open", task.ID)
		}
	}
}

func TestTasksSayHowLongTheyCanWait(t *testing.T) {
	for _, task := range embedded(t).Tasks {
		if task.Tolerance.Harm == "" || !strings.HasSuffix(task.Tolerance.Harm, ".") {
			t.Errorf("%s: harm %q", task.ID, task.Tolerance.Harm)
		}
		if len(task.Otherwise) == 0 {
			t.Errorf("%s does not say what to do if something else is found", task.ID)
		}
		for _, line := range slices.Concat(task.Otherwise, task.AskFor, task.Check) {
			if !strings.HasSuffix(line, ".") {
				t.Errorf("%s: not a sentence: %q", task.ID, line)
			}
		}
	}
}

// What can be found is said in the catalogue's own words for each part.
func TestFindingsAreDescribed(t *testing.T) {
	for _, task := range embedded(t).Tasks {
		text := strings.Join(task.NoteDown, " ")
		switch {
		case task.Who.Booked():
		case task.Findings == care.FindsScale:
			for _, f := range record.ScaleFindings() {
				if !strings.Contains(text, f+":") {
					t.Errorf("%s does not say what %q looks like", task.ID, f)
				}
			}
		case task.Findings == care.FindsPart:
			for _, f := range []record.Finding{record.Fresh, record.Failed} {
				if !strings.Contains(text, string(f)+":") {
					t.Errorf("%s does not say what %q looks like", task.ID, f)
				}
			}
		case text != "":
			t.Errorf("%s records nothing, yet says what to write down", task.ID)
		}
	}
}

// Nor is what a workshop should do.
func TestLicensedWorkIsNeverExplained(t *testing.T) {
	licensed := 0
	for _, task := range embedded(t).Tasks {
		if !task.Who.Booked() {
			if len(task.AskFor)+len(task.Check) > 0 {
				t.Errorf("%s is asked for and done at home", task.ID)
			}
			continue
		}
		licensed++
		if len(task.Steps) != 0 || len(task.AskFor) == 0 || len(task.Check) == 0 || len(task.Parts)+len(task.Tools) != 0 {
			t.Errorf("%s: %d steps, %d to ask for, %d to check, %d parts", task.ID, len(task.Steps), len(task.AskFor), len(task.Check), len(task.Parts))
		}
	}
	// Safety valves, wiring, backflow preventers; sealed vessels in frost.
	for _, id := range []string{"safety-valve", "electrical-check", "backflow-preventer", "frost-storage", "expansion-valve", "pressure-switch"} {
		i := slices.IndexFunc(embedded(t).Tasks, func(task care.Task) bool { return task.ID == id })
		if i < 0 || !embedded(t).Tasks[i].Who.Booked() {
			t.Errorf("%s is not booked", id)
		}
	}
	// Where law or safety ask for licensed people, a workshop is not enough.
	for _, id := range []string{"safety-valve", "electrical-check", "backflow-preventer", "pressure-switch"} {
		i := slices.IndexFunc(embedded(t).Tasks, func(task care.Task) bool { return task.ID == id })
		if i < 0 || embedded(t).Tasks[i].Who != care.Licensed {
			t.Errorf("%s is not licensed work", id)
		}
	}
	if licensed == 0 {
		t.Error("nothing is licensed work")
	}
}

// What is measured can be measured, and each check feeds something.
func TestChecksAndTrendsMeet(t *testing.T) {
	kinds := record.Flow.Choices()
	var recorded, fed []string
	for _, task := range embedded(t).Tasks {
		if task.Records != "" {
			recorded = append(recorded, string(task.Records))
			if task.Findings != care.FindsNothing {
				t.Errorf("%s is a check and asks for a finding besides", task.ID)
			}
		}
		for _, g := range task.Gauges {
			if g.Driver == care.ByTrend {
				fed = append(fed, string(g.Measures))
			}
		}
	}
	for _, kind := range kinds {
		if !slices.Contains(recorded, kind) || !slices.Contains(fed, kind) {
			t.Errorf("%s: recorded by a task %t, feeds one %t", kind, slices.Contains(recorded, kind), slices.Contains(fed, kind))
		}
	}
	for _, kind := range slices.Concat(recorded, fed) {
		if !slices.Contains(kinds, kind) {
			t.Errorf("%s cannot be measured", kind)
		}
	}
}

func gaugeOf(t *testing.T, task, driver string) care.Gauge {
	t.Helper()
	for _, known := range embedded(t).Tasks {
		for _, g := range known.Gauges {
			if known.ID == task && string(g.Driver) == driver {
				return g
			}
		}
	}
	t.Fatalf("no gauge of %s by %s", task, driver)
	return care.Gauge{}
}

// Gasket lives are stated in months and counted in hours; the arithmetic.
func TestGasketHoursByHand(t *testing.T) {
	hours := func(months, hoursADay float64) float64 { return months / 12 * 365 * hoursADay }
	for _, l := range gaugeOf(t, "group-gasket", "seal hours").Limits {
		want := []float64{hours(6, 8), hours(12, 8), hours(18, 8)} // 1460, 2920, 4380
		if slices.Contains(l.For, "bar") {
			want = []float64{hours(4, 14), hours(6, 14), hours(12, 14)} // 1703.3, 2555, 5110: of the part as a whole
		}
		for i, got := range []float64{l.Low, l.Usual, l.High} {
			if math.Abs(got-want[i]) > 0.5 {
				t.Errorf("%v: %v h, by hand %v", l.For, got, want[i])
			}
		}
	}
	// A bar's gasket has one gauge, since lock-ins, heat and age are one cause there:
	// the earliest of several that are drawn apart comes earlier than each.
	for _, g := range []care.Gauge{gaugeOf(t, "group-gasket", "shots"), gaugeOf(t, "group-gasket", "days")} {
		for _, l := range g.Limits {
			if !slices.Contains(l.For, "home") {
				t.Errorf("%s: a limit for %v", g.Name, l.For)
			}
		}
	}
	// Five and a half years of five lock-ins a day are 5.5 × 365 × 5 = 10,038.
	if l := gaugeOf(t, "group-gasket", "shots").Limits[0]; math.Abs(l.Low-5.5*365*5) > 50 || l.Usual != 2*l.Low || l.High != 3*l.Low {
		t.Errorf("lock-ins %v, %v, %v", l.Low, l.Usual, l.High)
	}
}

// Burr lives by size go with the area: the square of the ratio of diameters.
func TestBurrFactorsByHand(t *testing.T) {
	diameter := map[string]float64{"small burrs": 46, "large burrs": 75, "very large burrs": 98}
	for _, f := range gaugeOf(t, "burr-replacement", "kilograms").Factors {
		d, ok := diameter[f.For[0]]
		if !ok {
			continue
		}
		if want := d * d / (59 * 59); math.Abs(f.Times-want) > 0.06 {
			t.Errorf("%s: times %v, by hand (%v/59)² = %.2f", f.For[0], f.Times, d, want)
		}
		delete(diameter, f.For[0])
	}
	if len(diameter) > 0 {
		t.Errorf("no factor for %v", diameter)
	}
}

// Factors multiply, and say so: 64 mm flat is what the figure is stated for; 98
// mm, ceramic and light roasts are 400 × 2.7 × 1.5 × 0.8 = 1296 kg.
func TestFactorsMultiply(t *testing.T) {
	g := grinder(record.Home, record.MotorDriven, record.FlatBurrs)
	g.Grinder.DiameterMM, g.Grinder.Material, g.Grinder.Roast = 98, record.CeramicBurrs, record.LightRoast
	l := find(t, embedded(t).Duties([]record.Equipment{g}), "grinder/burr-replacement").Gauges[0].Limit
	if math.Abs(l.Usual-1296) > 1e-9 || math.Abs(l.Low-250*2.7*1.5*0.8) > 1e-9 {
		t.Errorf("limits %v, %v", l.Low, l.Usual)
	}
	for _, part := range []string{"times 2.7 for very large burrs", "times 1.5 for ceramic", "times 0.8 for light roast"} {
		if !strings.Contains(l.Source, part) {
			t.Errorf("the source does not say %q: %s", part, l.Source)
		}
	}
}

// What a title says of renewing, the catalogue says in a field, and the other way round:
// what is renewed looks worn or new, what is cleaned looks dirty or clean.
func TestWhatIsRenewedIsSaidToBe(t *testing.T) {
	renews := regexp.MustCompile(`^(Change|Renew|Replace) |renewed`)
	for _, task := range embedded(t).Tasks {
		if titled := renews.MatchString(task.Title); titled != task.Renews {
			t.Errorf("%s is called %q, and renews: %t", task.ID, task.Title, task.Renews)
		}
	}
}
