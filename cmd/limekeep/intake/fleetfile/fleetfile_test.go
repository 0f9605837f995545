package fleetfile

import (
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"limekeep/cmd/limekeep/intake/placefile"
	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/schedule/sample/bound"
)

// Spreadsheets save the same table in many ways; all of them say the same.
func TestReadTakesWhatSpreadsheetsSave(t *testing.T) {
	const table = "Place,Name,Time zone,Shots a day\nblue,Blue Cup,Europe/Vienna,120\nred,\"Red, the other\",Europe/Rome,80\n"
	inUTF16 := "\xFF\xFE"
	for _, u := range utf16.Encode([]rune(table)) {
		inUTF16 += string([]byte{byte(u), byte(u >> 8)})
	}
	semicolons := strings.NewReplacer("Red, the other", "Red; the other", ",", ";").Replace(table)
	for name, text := range map[string]string{
		"plain":                   table,
		"with a byte-order mark":  "\xEF\xBB\xBF" + table,
		"CRLF":                    strings.ReplaceAll(table, "\n", "\r\n"),
		"old Mac":                 strings.ReplaceAll(table, "\n", "\r"),
		"UTF-16":                  inUTF16,
		"semicolons":              semicolons,
		"told separator":          "sep=;\r\n" + strings.ReplaceAll(semicolons, "\n", "\r\n"),
		"tabs":                    strings.NewReplacer("\"Red, the other\"", "Red, the other", ",", "\t").Replace(strings.Replace(table, "Red, the", "Red the", 1)),
		"blank lines and columns": "\n" + strings.ReplaceAll(table, "\n", "\n,,,\n"),
		"no end of the last line": strings.TrimSuffix(table, "\n"),
	} {
		f, err := Read(strings.NewReader(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(f.Rows) != 2 || f.Rows[0].Place != "blue" || f.Rows[1].Place != "red" || len(f.Rows[0].Values) != 5 || f.Rows[0].Values[4] != (placefile.Value{Field: "machine.habit.weekend_shots", Text: "120"}) {
			t.Errorf("%s: got %+v", name, f.Rows)
		}
		if heading, ok := f.Rows[0].Heading("machine.habit.weekday_shots"); !ok || heading != "Shots a day" {
			t.Errorf("%s: the shots are of %q", name, heading)
		}
	}
}

// All that is wrong with a table is told at once, each with its line and what would be
// right.
func TestReadTellsEveryMistake(t *testing.T) {
	for _, x := range []struct {
		name, text string
		says       []string
	}{
		{"a heading that is none", "place,name,colur\nblue,Blue,red\n", []string{`line 1: column 3: "colur" cannot be taken; give a heading for each column`}},
		{"a slip in a heading", "place,addrss\nblue,x\n", []string{"did you mean address?"}},
		{"a heading twice", "place,shots,weekday shots\nblue,1,2\n", []string{`line 1: column 3: "weekday shots" cannot be taken; give each field once: it is in the column "shots" as well`}},
		{"no heading of places", "name,zone\nBlue,Europe/Vienna\n", []string{`line 1: row 1: "name, zone" cannot be taken; give a column place`}},
		{"an id twice, and one left out", "place,name\nblue,Blue\nblue,Blue again\n,Café Größe\n", []string{
			`line 3: place of row 3: "blue" cannot be taken; give each place once: line 2 has it already`,
			`line 4: place of row 4: nothing is given; give an id for each place, such as cafe-groesse`,
		}},
		{"more cells than headings", "place,name\nblue,Blue,red\n", []string{`line 2: row 2: "3 cells" cannot be taken; give the 2 that have a heading`}},
		{"a quote that does not end", "place,name\nblue,\"Blue\nred,Red\n", []string{`line 2: row 2: "a quote that has no other" cannot be taken`}},
		{"two wrong rows", "place,name\nblue,a\xffb\nred,b\x00c\n", []string{"line 2: row 2: ", "line 3: row 3: "}},
		{"headings alone", "place,name\n", []string{"give a line for each place below them"}},
		{"nothing", "", []string{"give a first line of headings"}},
		{"a workbook", "PK\x03\x04....", []string{"a workbook"}},
	} {
		_, err := Read(strings.NewReader(x.text))
		if err == nil {
			t.Errorf("%s: taken", x.name)
			continue
		}
		if lines := strings.Split(err.Error(), "\n"); len(lines) != len(x.says) && !strings.Contains(x.name, "quote") {
			t.Errorf("%s: told in %d lines:\n%v", x.name, len(lines), err)
		}
		for _, says := range x.says {
			if !strings.Contains(err.Error(), says) {
				t.Errorf("%s: nothing says %q:\n%v", x.name, says, err)
			}
		}
	}
}

// A table without end is refused, one of ten thousand places is not.
func TestReadIsBounded(t *testing.T) {
	rows := func(n int) string {
		var b strings.Builder
		b.WriteString("place,name\n")
		for i := range n {
			fmt.Fprintf(&b, "p%d,Place %d\n", i, i)
		}
		return b.String()
	}
	if f, err := Read(strings.NewReader(rows(mostRows))); err != nil || len(f.Rows) != mostRows {
		t.Errorf("got %d rows, %v", len(f.Rows), err)
	}
	if _, err := Read(strings.NewReader(rows(mostRows + 1))); err == nil || !strings.Contains(err.Error(), "10000 places at most") {
		t.Errorf("got %v", err)
	}
	if _, err := Read(strings.NewReader(strings.Repeat("a,", mostColumns+1) + "\n")); err == nil || !strings.Contains(err.Error(), "200 at most") {
		t.Errorf("got %v", err)
	}
}

const cafe = `place: {zone: Europe/Vienna, group: Blue Cups}
equipment:
  - {id: tap, bought: 2024-01-10, water_line: {supply: mains, treatment: [{id: filter, kind: softener, fitted: 2026-01-10, rated_litres: 500, rated_hardness_dh: 10}]}}
  - {id: machine, bought: 2024-01-10, machine: {setting: bar, layout: two boilers, habit: {weekday_shots: 100, weekend_shots: 100}}}
`

// Columns overwrite the template's fields; mistakes name line, place and column, those of
// the template its own line, once for all rows.
func TestSetUps(t *testing.T) {
	setups := func(table, template string) ([]SetUp, error) {
		f, err := Read(strings.NewReader(table))
		if err != nil {
			t.Fatal(err)
		}
		base, err := placefile.ReadTemplate(strings.NewReader(template))
		if err != nil {
			t.Fatal(err)
		}
		return f.SetUps(func(string) (*placefile.Template, string, error) { return base, "the template", nil }, everything)
	}
	got, err := setups("place,name,shots,serial,cartridge fitted,tap.treatment.filter.months,hardness_unit\nblue,Blue,120,A-1,2026-02-01,9,dH\nred,Red,,,,,\n", cafe)
	if err != nil || len(got) != 2 {
		t.Fatalf("got %d, %v", len(got), err)
	}
	blue, red := got[0].Setup, got[1].Setup
	if m := blue.Equipment[1]; m.Serial != "A-1" || m.Machine.Habit.WeekdayShots != 120 || m.Machine.Habit.WeekendShots != 120 {
		t.Errorf("blue has %+v", m)
	}
	if f := blue.Equipment[0].Line.Treatment[0]; f.Fitted != record.NewDate(2026, 2, 1) || f.Months != 9 {
		t.Errorf("blue has the cartridge %+v", f)
	}
	if m := red.Equipment[1].Machine; m.Habit.WeekdayShots != 100 || red.Place.Group != "Blue Cups" || red.Place.Name != "Red" || red.Place.HardnessUnit != "" || blue.Place.HardnessUnit != "dH" {
		t.Errorf("red is %+v", red.Place)
	}
	for _, p := range got[0].Puts {
		if p.Field == "machine.habit.weekday_shots" && p.Was != "100" {
			t.Errorf("100 shots were %q", p.Was)
		}
	}
	_, err = setups("place,shots,zone,boiler.name,serial\nblue,many,Mars/Olympus,,\nred,1,,x,\nGREEN,-3,,,"+strings.Repeat("9", 61)+"\n", strings.Replace(cafe, "kind: softener", "kind: softner", 1))
	for _, says := range []string{
		`line 2: blue, shots: "many" cannot be taken; give a number`,
		`line 2: blue, zone: "Mars/Olympus" cannot be taken; give a time zone`,
		`line 3: red, boiler.name: "x" cannot be taken; give a field that the place has: equipment "boiler" is not there; there is tap, machine`,
		`line 4: GREEN, place: "GREEN" cannot be taken; give a short name of lower-case letters`,
		`line 4: GREEN, shots: "-3" cannot be taken; give 0 to 3000 shots a day`,
		`line 4: GREEN, serial: "`,
		`the template, line 3: equipment[0].water_line.treatment[0].kind: "softner" cannot be taken`,
	} {
		if err == nil || strings.Count(err.Error(), says) != 1 {
			t.Errorf("%q is not said once:\n%v", says, err)
		}
	}
}

func TestIDFrom(t *testing.T) {
	for name, want := range map[string]string{"Blue Cup": "blue-cup", "Café Größe 2": "cafe-groesse-2", "  --  ": "", "東京": "", "Ünter den  Linden!": "uenter-den-linden"} {
		if got := IDFrom(name); got != want {
			t.Errorf("%q becomes %q, want %q", name, got, want)
		}
	}
}

// Whatever a table holds it is read or refused, within bounds.
func FuzzRead(f *testing.F) {
	f.Add([]byte("place;name;shots\r\nblue;Blue;120\r\n"))
	f.Add([]byte("\xEF\xBB\xBFplace,tap.treatment.filter.fitted\nblue,\"2026-01-01\"\n"))
	base, err := placefile.ReadTemplate(strings.NewReader(cafe))
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		defer bound.Memory(t)()
		file, err := Read(strings.NewReader(string(data)))
		if err != nil {
			return
		}
		setups, err := file.SetUps(func(string) (*placefile.Template, string, error) { return base, "the template", nil }, everything)
		if err == nil && len(setups) != len(file.Rows) {
			t.Errorf("%d places of %d rows", len(setups), len(file.Rows))
		}
		for _, s := range setups {
			if err := s.Setup.Validate(); err != nil {
				t.Errorf("a place that is none: %v", err)
			}
		}
	})
}

// everything asks nothing of a place beside what it says of itself.
func everything(schedule.Setup) error { return nil }
