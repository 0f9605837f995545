package placefile

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/journal"
	"limekeep/schedule/record"
)

// Places as people describe them: much and little, in each style of YAML.
var bases = []string{`place:
  id: kitchen
  name: Our kitchen
  zone: Europe/Vienna
  preferred_times:
    - when: "0 10 * * SAT"
      minutes: 120
  alarms:
    timed: [1d, 2h]
equipment:
  - id: tap
    bought: 2023-05-04
    water_line:
      supply: mains
      treatment:
        - id: filter
          kind: softener
          fitted: 2025-09-01
          rated_litres: 500
          rated_hardness_dh: 10
          bypass_share: 0.3
  - id: machine
    name: Espresso machine
    bought: 2023-05-04
    machine:
      setting: home
      water_line: tap
      pump: rotary
      vessels:
        - id: brew
          kind: brew boiler
          material: stainless steel
          litres: 0.6
          watts: 1000
        - id: steam
          kind: steam boiler
          material: copper
          gauge_bar: 1.2
      groups:
        - id: group
          three_way_valve: true
          gasket: EPDM
      habit:
        weekday_shots: 3
        weekend_shots: 6
        steamed_share: 0.4
  - id: grinder
    bought: 2023-05-04
    grinder:
      drive: hand
      burr_geometry: conical
      burr_diameter_mm: 48
      serves: [machine]
care:
  changes:
    - task: group-gasket
      months: 12
      by: maker
  tasks:
    - id: hinges
      title: Oil the hinges
      equipment: machine
      days: 90
`, `place:
  zone: Asia/Kolkata
equipment:
  - machine:
      layout: two boilers
      habit:
        weekday_shots: 4
        weekend_shots: 2
    bought: 2024-01-10
  - grinder:
      drive: motor
      burr_diameter_mm: 64
    bought: 2024-01-10
`, `place: {id: bar, zone: America/New_York}
equipment:
  - id: line
    bought: 2020-02-02
    water_line:
      supply: mains
      has: [leak sensor]
  - id: machine
    bought: 2020-02-02
    machine:
      setting: bar
      water_line: line
      layout: heat exchanger
      lacks: [vacuum breaker]
      groups:
        - id: left
          three_way_valve: true
        - id: right
          seal_celsius: 95
      habit:
        hot_timer:
          - on: "30 6 * * MON-FRI"
            off: "0 18 * * MON-FRI"
        drinks:
          - name: Melange
            steamed: true
  - id: tools
    bought: 2020-02-02
    tools:
      have: [scale, tamper]
`, `place:
  id: hut
  zone: Europe/Lisbon
  done_days: 100
equipment:
  - id: tank
    bought: 2022-03-03
    water_line:
      supply: tank
  - id: lever
    bought: 2022-03-03
    looked_after: 2024-01-01
    machine:
      water_line: tank
      vessels:
        - kind: steam boiler
          material: brass
      groups:
        - lever: true
          spring: true
      habit:
        weekday_shots: 1
        weekend_shots: 2
`}

// mistake is what somebody got wrong: what they wrote in place of what, and what the
// answer must hold.
type mistake struct{ right, wrong, says string }

// Slips of the pen, wrong words, figures out of range, of the wrong kind and in the
// wrong place, days that cannot be, ids that point nowhere.
var mistakeTable = []mistake{
	{"zone: ", "zone: Middle", "give a time zone"},
	{"zone: ", "zonne: ", "did you mean zone?"},
	{"  preferred_times:", "  prefered_times:", "did you mean preferred_times?"},
	{`when: "0 10 * * SAT"`, "when: saturdays", "five cron fields"},
	{"      minutes: 120", "      minutes: 5", "15 to 600 minutes"},
	{"timed: [1d, 2h]", "timed: [yesterday]", "such as 1d, 2h or 90m"},
	{"done_days: 100", "done_days: many", "a number"},
	{"supply: mains", "supply: main", "did you mean mains?"},
	{"supply: tank", "suply: tank", "did you mean supply?"},
	{"kind: softener", "kind: softner", "did you mean softener?"},
	{"fitted: 2025-09-01", "fitted: 2035-09-01", "a day not after today"},
	{"rated_litres: 500", "rated_litres: -500", "1 to 1e+06 litres"},
	{"bypass_share: 0.3", "bypass_share: 30", "0 to 0.9"},
	{"has: [leak sensor]", "has: leak sensor", "a list: [leak sensor]"},
	{"setting: home", "setting: kitchen", "one of home, bar"},
	{"setting: bar", "seting: bar", "did you mean setting?"},
	{"water_line: tap", "water_line: tab", "such as tap; did you mean tap?"},
	{"water_line: line", "water_line: lines", "the id of a water line"},
	{"pump: rotary", "pump: rotory", "did you mean rotary?"},
	{"material: stainless steel", "material: steel", "one of stainless steel"},
	{"material: brass", "matrial: brass", "did you mean material?"},
	{"litres: 0.6", "litres: 1,250", "write 1250 or 1.25"},
	{"litres: 0.6", "litres: 600", "0.01 to 40 litres"},
	{"watts: 1000", "wats: 1000", "did you mean watts?"},
	{"gauge_bar: 1.2", "gauge_bar: 12", "0.1 to 2.5 bar"},
	{"three_way_valve: true", "three_way_valve: perhaps", "true or false"},
	{"gasket: EPDM", "gasket: rubber", "one of nitrile rubber"},
	{"weekday_shots: ", "weekday_shots: -", "0 to 3000 shots"},
	{"weekend_shots: ", "weekend_shot: ", "did you mean weekend_shots?"},
	{"steamed_share: 0.4", "steamed_share: 40", "0 to 1"},
	{"layout: two boilers", "layout: two boiler", "did you mean two boilers?"},
	{"layout: heat exchanger", "layout: heatexchanger", "did you mean heat exchanger?"},
	{"lacks: [vacuum breaker]", "lacks: [vacuum braker]", "did you mean vacuum breaker?"},
	{"seal_celsius: 95", "seal_celsius: 950", "50 to 130"},
	{"seal_celsius: 95", "colour: red", "one of the fields"},
	{`on: "30 6 * * MON-FRI"`, "on: early", "five cron fields"},
	{"name: Melange", "nam: Melange", "did you mean name?"},
	{"drive: hand", "drive: foot", "one of hand, motor"},
	{"drive: motor", "driven: motor", "did you mean drive?"},
	{"burr_diameter_mm: ", "burr_diameter_mm: 9", "20 to 150 mm"},
	{"serves: [machine]", "serves: [machin]", "did you mean machine?"},
	{"have: [scale, tamper]", "have: [scale, tampers]", "did you mean tamper?"},
	{"looked_after: 2024-01-01", "looked_after: last year", "year-month-day"},
	{"looked_after: 2024-01-01", "looked_after: 2034-01-01", "a day not after today"},
	{"task: group-gasket", "task: group-gaskets", "is not known"},
	{"by: maker", "by: baker", "did you mean maker?"},
	{"      equipment: machine", "      equipment: machines", "did you mean machine?"},
	{"days: 90", "days: 0.5", "1 to "},
	{"    bought: 2024-01-10\n  -", "    bought: tomorrow\n  -", "year-month-day"},
	{"id: tank", "id: the tank", "a short name of lower-case letters"},
}

// today is the day on which the files are read.
var today = record.NewDate(2026, 3, 2)

// All mistakes are told in one run, each with its line and what would be right, and
// nothing beside them: a hundred files with two to six of them.
func TestReadTellsEveryMistake(t *testing.T) {
	catalogue, err := care.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	asked := func(s schedule.Setup) error { return journal.CheckSetUp(catalogue, today, s) }
	made := map[string]bool{}
	for n := range 100 {
		text := bases[n%len(bases)]
		if n < len(bases) {
			if _, err := Read(strings.NewReader(text), asked); err != nil {
				t.Fatalf("base %d: %v", n, err)
			}
		}
		want := 2 + n/len(bases)%5
		var chosen []mistake
		for k := 0; len(chosen) < want && k < len(mistakeTable); k++ {
			m := mistakeTable[(n*7+k*[]int{3, 7, 11, 13, 17}[n%5])%len(mistakeTable)]
			taken := slices.ContainsFunc(chosen, func(c mistake) bool {
				return strings.Contains(c.right, m.right) || strings.Contains(m.right, c.right)
			})
			if taken || !strings.Contains(text, m.right) {
				continue
			}
			chosen = append(chosen, m)
			text = strings.Replace(text, m.right, m.wrong, 1)
		}
		if len(chosen) != want {
			t.Fatalf("file %d has %d mistakes, want %d", n, len(chosen), want)
		}
		_, err := Read(strings.NewReader(text), asked)
		all, _ := record.MistakesOf(err)
		if len(all) != want {
			t.Errorf("file %d: %d mistakes are told, want %d:\n%v\n%s", n, len(all), want, err, text)
		}
		for _, m := range chosen {
			made[m.wrong] = true
			line := 1 + strings.Count(text[:strings.Index(text, strings.TrimLeft(m.wrong, "\n"))], "\n")
			if !slices.ContainsFunc(all, func(w *record.FieldError) bool {
				return w.Line == line && strings.Contains(w.Error(), m.says) && strings.HasPrefix(w.Error(), fmt.Sprintf("line %d: ", line))
			}) {
				t.Errorf("file %d: nothing says %q of line %d (%s):\n%v", n, m.says, line, m.wrong, err)
			}
		}
	}
	for _, m := range mistakeTable {
		if !made[m.wrong] {
			t.Errorf("no file has the mistake %q", m.wrong)
		}
	}
}

// An id that cannot be one is told once, not again wherever something points at it.
func TestReadTellsAnIDOnce(t *testing.T) {
	text := strings.Replace(bases[3], "id: tank", "id: the tank", 1)
	_, err := Read(strings.NewReader(text))
	all, _ := record.MistakesOf(err)
	if len(all) != 1 || all[0].Line != 6 || all[0].Field != "equipment[0].id" {
		t.Errorf("got %v", err)
	}
}

// Six lines are enough for a start.
func TestReadTakesSixLines(t *testing.T) {
	const six = `place:
  zone: Europe/Vienna
equipment:
  - bought: 2024-05-04
    machine:
      layout: heat exchanger
`
	setup, err := Read(strings.NewReader(six))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range setup.Equipment {
		got = append(got, e.ID)
	}
	m := setup.Equipment[0].Machine
	if strings.Join(got, " ") != "machine water" || len(m.Vessels) != 2 || len(m.Groups) != 1 || m.Line != "water" || setup.Equipment[1].Line.Supply != record.Tank {
		t.Errorf("got %v, %+v", got, m)
	}
	if again := schedule.FillIn(setup); !reflect.DeepEqual(again, setup) {
		t.Errorf("filled in again: %+v", again)
	}
}

// A file of aliases of aliases stands for more values than a memory holds; an alias
// can hold itself; lists can be nested without end. All of it is refused in a moment.
func TestReadIsBounded(t *testing.T) {
	bomb := "place:\n  preferred_times: &a0 [{when: x}, {when: y}]\n"
	for i := 1; i < 30; i++ {
		bomb += fmt.Sprintf("  x%d: &a%d [*a%d, *a%d, *a%d, *a%d]\n", i, i, i-1, i-1, i-1, i-1)
	}
	wide := "place: {id: kitchen, zone: Europe/Vienna}\nequipment:\n  - &e {id: a, bought: 2024-01-10, machine: &m {vessels: &v [&w {id: w, kind: bowl}, *w, *w, *w, *w, *w, *w, *w], groups: []}}\n"
	wide += "care: {changes: &c [" + strings.Repeat("&x {task: t}, *x, ", 1) + strings.Repeat("*x, ", 12_000) + "]}\n"
	lists := "place: {preferred_times: &l [" + strings.Repeat("{when: a}, ", 4000) + "]}\nequipment: [" + strings.Repeat("*l, ", 4000) + "]\n"
	for name, text := range map[string]string{
		"aliases of aliases":   bomb,
		"one alias many times": wide,
		"a list many times":    lists,
		"an alias of itself":   "place: &p {id: *p}\n",
		"itself in a list":     "equipment: &e [*e, *e]\n",
		"nested lists":         "place: " + strings.Repeat("[", 5000) + strings.Repeat("]", 5000) + "\n",
		"nested fields":        "place: " + strings.Repeat("{a: ", 5000) + strings.Repeat("}", 5000) + "\n",
		"two documents":        "place: {zone: Europe/Vienna}\n---\nplace: {}\n",
		"tabs":                 "place:\n\tzone: Europe/Vienna\n",
	} {
		allocated := testing.AllocsPerRun(1, func() {
			if _, err := Read(strings.NewReader(text)); err == nil {
				t.Errorf("%s is taken", name)
			}
		})
		if allocated > 2_000_000 {
			t.Errorf("%s takes %.0f allocations", name, allocated)
		}
	}
}
