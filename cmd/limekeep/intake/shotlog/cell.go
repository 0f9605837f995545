package shotlog

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"limekeep/schedule/record"
)

// The most that a row can hold of each, as record.UseRow has it.
const (
	mostShots          = 3000
	mostDoseGrams      = 40
	mostYieldGrams     = 500
	mostSeconds        = 300.0
	mostHotWaterLitres = 200
)

// parseCell reads a cell into the row.
func (f *Log) parseCell(row *record.UseRow, raw *rawRow, column columnKind, i int, cell []byte) error {
	want := "a number"
	var err error
	var value float64
	switch column {
	case dateColumn:
		return f.parseDate(row, i, cell)
	case timeColumn:
		return f.parseTime(i, cell)
	case shotsColumn:
		value, err = f.number(cell, mostShots)
		row.Shots = value
	case doseColumn:
		value, err = f.grams(cell, mostDoseGrams)
		row.DoseGrams = value
	case yieldColumn:
		want = "a number, or a ratio such as 1:2"
		var isRatio bool
		if raw.ratio, isRatio = parseRatio(cell); !isRatio {
			value, err = f.grams(cell, mostYieldGrams)
			row.YieldGrams = value
		}
	case ratioColumn:
		var ok bool
		want = "a brew ratio such as 1:2"
		if raw.ratio, ok = parseRatio(cell); !ok {
			if raw.ratio, err = f.number(cell, mostRatio); err == nil && (raw.ratio < leastRatio || raw.ratio > mostRatio) {
				err = errNoRatio // such as what a spreadsheet made of 1:2, a time
			}
		}
	case secondsColumn:
		want = "a number of seconds, or minutes and seconds such as 0:28"
		value, err = f.seconds(cell)
		row.Seconds = value
	case steamedColumn:
		want = "how many of the shots got steamed milk, or yes or no"
		if raw.milk = parseAnswer(cell); raw.milk == unanswered {
			value, err = f.number(cell, mostShots)
			row.Steamed = value
		}
	case hotWaterColumn:
		want = "a number with its unit, such as 150 ml or 0.15 l"
		value, err = f.litres(cell, i)
		if row.HotWaterLitres = value; err == nil && value > mostHotWaterLitres {
			return &record.FieldError{Field: f.header.where(i), Value: string(cell),
				Want: fmt.Sprintf("at most %d litres; of millilitres write ml behind the figure, or %s", mostHotWaterLitres, f.options.ways().Tell("hot_water_ml", f.header.names[i]))}
		}
	case grindColumn:
		row.Grind = f.words.text(cell)
	case drinkColumn:
		row.Drink = f.words.text(cell)
	case beansColumn:
		row.Beans = f.words.text(cell)
	case noteColumn:
		row.Note = strings.ReplaceAll(string(cell), "\r\n", "\n")
	case namelessColumn:
		return &record.FieldError{Field: f.header.where(i), Value: string(cell), Want: fmt.Sprintf("a name for this column in the header, or %s", f.options.ways().PassNameless())}
	}
	if err != nil {
		return &record.FieldError{Field: f.header.where(i), Value: string(cell), Want: f.numberError(cell, want, err)}
	}
	raw.figures[column], raw.at[column] = value, int32(i+1)
	return nil
}

// cutUnit takes a unit off a figure where one of those given stands behind it.
func cutUnit(cell []byte, units ...string) ([]byte, bool) {
	if len(cell) == 0 || digit(cell[len(cell)-1]) {
		return cell, false
	}
	for _, u := range units {
		if n := len(cell) - len(u); n > 0 && bytes.EqualFold(cell[n:], []byte(u)) {
			return bytes.TrimSpace(cell[:n]), true
		}
	}
	return cell, false
}

func (f *Log) grams(cell []byte, most float64) (float64, error) {
	cell, _ = cutUnit(cell, "grams", "gram", "gr", "g")
	return f.number(cell, most)
}

// volumes are the units of hot water, as litres. A gram of water counts as a
// millilitre.
var volumes = []struct {
	unit   string
	litres float64
}{{"millilitres", 0.001}, {"milliliters", 0.001}, {"ml", 0.001}, {"cl", 0.01}, {"dl", 0.1}, {"litres", 1}, {"liters", 1}, {"litre", 1}, {"liter", 1}, {"l", 1}, {"grams", 0.001}, {"g", 0.001}}

// litres reads an amount of hot water: in the unit behind it, else in the
// header's, else in litres.
func (f *Log) litres(cell []byte, i int) (float64, error) {
	scale := f.header.scales[i]
	for _, v := range volumes {
		if rest, ok := cutUnit(cell, v.unit); ok {
			cell, scale = rest, v.litres
			break
		}
	}
	if scale == 0 {
		scale = 1
	}
	value, err := f.number(cell, mostHotWaterLitres/scale)
	if scale < 1 {
		return value / (1 / scale), err // 150 ml are 0.15 l to the last digit
	}
	return value, err
}

// seconds reads a length of time: seconds, minutes and seconds, 0:28, or a
// spreadsheet's 0:00:28 and its fraction of a day.
func (f *Log) seconds(cell []byte) (float64, error) {
	if bytes.IndexByte(cell, ':') >= 0 {
		parts, total := bytes.Split(cell, []byte{':'}), 0.0
		for i, part := range parts {
			x, err := f.number(part, mostSeconds)
			if err != nil || x < 0 || i > 0 && x >= 60 || i > 2 {
				return 0, errNoLength
			}
			total = 60*total + x
		}
		return total, nil
	}
	cell, _ = cutUnit(cell, "seconds", "secs", "sec", "s", "\"", "″")
	x, err := f.number(cell, mostSeconds)
	// No shot is pulled in less than a hundredth of a second: 0.000324 of a day
	// are 28 seconds.
	if err == nil && x > 0 && x < mostSeconds/secondsADay {
		x = float64(int(x*secondsADay + 0.5))
	}
	return x, err
}

// Brew ratios lie between these: a ristretto has 1, a lungo 4 (common practice).
const leastRatio, mostRatio = 0.5, 20

// errNoRatio says that a cell holds no brew ratio.
var errNoRatio = errors.New("no brew ratio")

// parseRatio reads 1:2, grams of drink to a gram of coffee.
func parseRatio(cell []byte) (float64, bool) {
	one, rest, ok := bytes.Cut(cell, []byte{':'})
	if !ok || string(bytes.TrimSpace(one)) != "1" {
		return 0, false
	}
	rest = bytes.ReplaceAll(bytes.TrimSpace(rest), []byte{','}, []byte{'.'})
	whole, decimals, _ := bytes.Cut(rest, []byte{'.'})
	n, okWhole := smallNumber(whole)
	x := float64(n)
	if len(decimals) > 0 {
		d, okDecimals := smallNumber(decimals)
		okWhole = okWhole && okDecimals
		x += float64(d) / powerOfTen(len(decimals))
	}
	// 1:02 is a time that a spreadsheet made of a ratio.
	return x, okWhole && x >= leastRatio && x <= mostRatio && (len(whole) == 1 || whole[0] != '0')
}

func powerOfTen(n int) float64 {
	x := 1.0
	for range n {
		x *= 10
	}
	return x
}

// answer is yes or no, for what is usually counted.
type answer int

const (
	unanswered answer = iota
	yes
	no
)

var answers = map[string]answer{
	"yes": yes, "y": yes, "true": yes, "ja": yes, "j": yes, "wahr": yes, "oui": yes, "vrai": yes, "si": yes, "sí": yes, "sì": yes, "sim": yes, "vero": yes, "x": yes, "✓": yes, "✔": yes,
	"no": no, "n": no, "false": no, "nein": no, "falsch": no, "non": no, "faux": no, "nee": no, "não": no, "falso": no, "-": no, "–": no,
}

// parseAnswer reads yes and no in some languages, and as spreadsheets write
// them.
func parseAnswer(cell []byte) answer {
	if digit(cell[0]) {
		return unanswered
	}
	return answers[strings.ToLower(string(cell))]
}

// formula reports whether a spreadsheet left a formula, or its failure, in a
// cell instead of a value.
func formula(cell []byte) bool {
	return len(cell) > 1 && (cell[0] == '=' || cell[0] == '@') || len(cell) > 2 && cell[0] == '#' && (bytes.HasSuffix(cell, []byte{'!'}) || bytes.HasSuffix(cell, []byte{'?'}) || bytes.Equal(cell, []byte("#N/A")))
}

func formulaError(where string, cell []byte) error {
	return &record.FieldError{Field: where, Value: string(cell), Want: "the value instead of the formula; save the sheet's values as CSV"}
}

// interner gives words that come again and again without a new copy of each.
type interner map[string]string

// mostInterned bounds what is held.
const mostInterned = 4096

func (n interner) text(b []byte) string {
	if len(b) == 0 {
		return ""
	}
	if s, ok := n[string(b)]; ok {
		return s
	}
	s := string(b)
	if len(n) >= mostInterned {
		clear(n)
	}
	n[s] = s
	return s
}
