package shotlog

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"limekeep/schedule/record"
)

// dateSort is how a date that is not three numbers with marks was written.
type dateSort int

const (
	notADate   dateSort = iota
	aSerial             // 46083.3194: days of a spreadsheet
	aCount              // 1772437200: Unix time
	inOnePiece          // 20260302
	inWords             // 2 March 2026
)

// parseOther reads dates that are not three numbers with marks between. The
// minute is -1 where there is no time.
func parseOther(cell []byte, zone *time.Location) (date record.Date, minute int, sort dateSort) {
	if digit(cell[0]) && len(bytes.Trim(cell, "0123456789.,")) == 0 {
		if date, minute, ok := parseSerial(cell); ok {
			return date, minute, aSerial
		}
		if date, minute, ok := parseUnix(cell, zone); ok {
			return date, minute, aCount
		}
	}
	if date, minute, ok := parseOffset(cell, zone); ok {
		return date, minute, inWords
	}
	if date, minute, ok := parseCompact(cell); ok {
		return date, minute, inOnePiece
	}
	if date, minute, ok := parseSpaced(cell); ok {
		return date, minute, inOnePiece
	}
	if date, minute, ok := parseWords(string(cell)); ok {
		return date, minute, inWords
	}
	return 0, -1, notADate
}

// Days of a spreadsheet are counted from the day before 1900 that makes
// 1900-03-01 the 61st (ECMA-376 part 1, 18.17.4.1: the year 1900 counts as a leap
// year). Only such as a log can have are taken for dates: 2009 to 2064.
const (
	leastSerial = 40_000
	mostSerial  = 60_000
)

var serialEpoch = record.NewDate(1899, time.December, 30)

// days1904 is how much later the days are of workbooks that count from 1904 on,
// as those of Macs used to (ECMA-376 part 1, 18.17.4.1).
const days1904 = 1462

// fromEpoch puts a serial number's day right where the owner says that the file
// counts from 1904, and asks where both may be.
func (f *Log) fromEpoch(date record.Date) record.Date {
	w := &f.writing
	w.serial = true
	switch {
	case w.epoch == Serial1904:
		return date + days1904
	case w.epoch != Serial1900 && f.options.Today != 0 && date+days1904 <= f.options.Today:
		f.asked.ask("epoch", Question{Row: f.row, Line: f.line,
			Text:   fmt.Sprintf("the number of its day means %s in most spreadsheets, and %s in those that count from 1904", date, date+days1904),
			Answer: "--dates serial-1900 or --dates serial-1904"})
	}
	return date
}

// serialLike reports whether a cell is a serial number.
func serialLike(cell []byte) bool {
	_, _, ok := parseSerial(cell)
	return ok
}

// parseSerial reads a spreadsheet's serial number of a day, and the time in its
// fraction.
func parseSerial(cell []byte) (record.Date, int, bool) {
	if len(cell) < 5 || len(cell) > 5 && cell[5] != '.' && cell[5] != ',' {
		return 0, 0, false
	}
	text := strings.Replace(string(cell), ",", ".", 1)
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || x < leastSerial || x > mostSerial {
		return 0, 0, false
	}
	days := math.Floor(x)
	if days == x {
		return serialEpoch + record.Date(days), -1, true
	}
	seconds := int(math.Round((x - days) * secondsADay))
	return serialEpoch + record.Date(days) + record.Date(seconds/secondsADay), seconds % secondsADay / 60, true
}

// parseUnix reads seconds or milliseconds since 1970 in UTC, of 10 and 13 digits
// (2001 to 2286), and puts them on the clock of the place.
func parseUnix(cell []byte, zone *time.Location) (record.Date, int, bool) {
	whole, _, _ := bytes.Cut(cell, []byte{'.'})
	n, err := strconv.ParseInt(string(whole), 10, 64)
	if err != nil {
		return 0, 0, false
	}
	switch {
	case len(whole) == 10:
		return onClock(time.Unix(n, 0), zone)
	case len(whole) == 13 && len(cell) == 13:
		return onClock(time.UnixMilli(n), zone)
	}
	return 0, 0, false
}

// parseCompact reads 20260302, and the same with a time behind: 202603020740,
// 20260302T074012, 20260302 07:40.
func parseCompact(cell []byte) (record.Date, int, bool) {
	if len(cell) < 8 || len(bytes.Trim(cell[:8], "0123456789")) > 0 {
		return 0, 0, false
	}
	year, _ := smallNumber(cell[:4])
	month, _ := smallNumber(cell[4:6])
	day, _ := smallNumber(cell[6:8])
	date, ok := writtenDate{first: month, second: day, year: year, yearFirst: true}.date(YearFirst)
	if !ok || year < 1990 || year > 2100 {
		return 0, 0, false
	}
	rest := bytes.TrimLeft(cell[8:], " T")
	if len(rest) == 0 {
		return date, -1, len(cell) == 8
	}
	if n := len(rest); (n == 4 || n == 6) && len(bytes.Trim(rest, "0123456789")) == 0 {
		rest = rest[:4]
	} else if len(cell) == 8+n {
		return 0, 0, false // more digits than a date and a time have
	}
	minute, ok := parseClock(rest)
	return date, minute, ok
}

// parseSpaced reads dates with blanks behind their dots: 2. 3. 2026, and those
// with a dot at the end.
func parseSpaced(cell []byte) (record.Date, int, bool) {
	if bytes.IndexByte(cell, '.') < 0 {
		return 0, 0, false
	}
	together := bytes.ReplaceAll(cell, []byte(". "), []byte{'.'})
	text, clock := splitInstant(together)
	if year := bytes.LastIndexByte(together, '.'); len(clock) == 0 && year == len(together)-1 {
		text = together[:year]
	}
	w, ok := splitDate(text)
	if !ok || !w.dotted && !w.yearFirst {
		return 0, 0, false
	}
	date, ok := w.date(DayFirst)
	if !ok || len(clock) == 0 {
		return date, -1, ok
	}
	minute, ok := parseClock(clock)
	return date, minute, ok
}

// monthWords are the beginnings of the names of months in English, German,
// French, Italian, Spanish, Portuguese, Dutch and the Scandinavian languages,
// without accents, such that no two months share one.
var monthWords = [...][]string{
	time.January:   {"jan", "jän", "gen", "ene"},
	time.February:  {"feb", "fev"},
	time.March:     {"mar", "mär", "mrt", "maart"},
	time.April:     {"apr", "avr", "abr"},
	time.May:       {"may", "mai", "mag", "mei", "maj", "mayo", "maio"},
	time.June:      {"jun", "juin", "giu"},
	time.July:      {"jul", "juil", "lug"},
	time.August:    {"aug", "aou", "ago"},
	time.September: {"sep", "set"},
	time.October:   {"oct", "okt", "ott", "out"},
	time.November:  {"nov"},
	time.December:  {"dec", "dez", "dic", "des"},
}

// monthNames are the full names, each with its beginnings.
var monthNames = func() map[string]time.Month {
	names := map[string]time.Month{}
	for month, words := range monthWords {
		for _, w := range words {
			names[w] = time.Month(month)
		}
	}
	for month, words := range map[time.Month]string{
		time.January:   "january januar jänner jaenner janvier gennaio enero janeiro januari janv",
		time.February:  "february februar feber fevrier febbraio febrero fevereiro februari fevr febr",
		time.March:     "march märz maerz mars marzo marco marts",
		time.April:     "april avril aprile abril",
		time.May:       "maggio",
		time.June:      "june juni giugno junio junho",
		time.July:      "july juli juillet luglio julio julho",
		time.August:    "august aout agosto augustus augusti",
		time.September: "september septembre settembre septiembre setembro sept sett",
		time.October:   "october oktober octobre ottobre octubre outubro",
		time.November:  "november novembre noviembre novembro",
		time.December:  "december dezember decembre dicembre diciembre dezembro desember",
	} {
		for _, w := range strings.Fields(words) {
			names[w] = month
		}
	}
	return names
}()

// dayWords are words of a date that say nothing which its figures do not.
var dayWords = strings.Fields("monday tuesday wednesday thursday friday saturday sunday mon tue tues wed thu thur thurs fri sat sun" +
	" montag dienstag mittwoch donnerstag freitag samstag sonnabend sonntag mo di mi do fr sa so" +
	" lundi mardi mercredi jeudi vendredi samedi dimanche lun mar mer jeu ven sam dim" +
	" lunedi martedi mercoledi giovedi venerdi sabato domenica gio sab dom" +
	" lunes martes miercoles jueves viernes sabado domingo mie jue vie" +
	" maandag dinsdag woensdag donderdag vrijdag zaterdag zondag ma wo vr za zo" +
	" segunda terca quarta quinta sexta seg ter qua qui sex" +
	" de of den the le el der du at um")

var withoutAccents = strings.NewReplacer("é", "e", "è", "e", "ê", "e", "û", "u", "ç", "c", "á", "a", "í", "i", "ì", "i", "º", "", "ª", "")

// parseWords reads a date with the name of its month: 2 March 2026, Mar 2, 2026
// 7:40 am, Mon 2-Mar-26.
func parseWords(cell string) (record.Date, int, bool) {
	minute := -1
	words := strings.FieldsFunc(withoutAccents.Replace(strings.ToLower(cell)), func(r rune) bool { return r == ' ' || r == ',' || r == '\u00a0' || r == '\u202f' })
	// The time stands behind the day: what has a colon, and am or pm.
	if i := slices.IndexFunc(words, func(w string) bool { return strings.Contains(w, ":") }); i >= 0 {
		m, ok := parseClock([]byte(strings.Join(words[i:], " ")))
		if !ok || i == 0 {
			return 0, 0, false
		}
		minute, words = m, words[:i]
	}
	var tokens []string
	for _, w := range words {
		tokens = append(tokens, strings.FieldsFunc(w, func(r rune) bool { return r == '-' || r == '/' || r == '.' })...)
	}
	date, ok := dateOfWords(tokens)
	return date, minute, ok
}

// dateOfWords makes a date of a month's name, a day and a year, whose order they
// tell themselves.
func dateOfWords(tokens []string) (record.Date, bool) {
	var month time.Month
	var named string
	var numbers []string
	monthAt := 0 // how many numbers stand before it
	for _, t := range tokens {
		m, isMonth := monthNames[t]
		number := strings.TrimRight(t, "stndrhe") // of 2nd, 1er
		suffix := len(t) - len(number)
		switch {
		case digit(t[0]) && len(number) <= 4 && strings.Trim(number, "0123456789") == "" && (suffix == 0 || suffix == 2 && len(number) <= 2):
			numbers = append(numbers, number)
		case isMonth && (month == 0 || named == "mar"):
			// In some languages mar is a Tuesday: a month that follows it is the one.
			month, named, monthAt = m, t, len(numbers)
		case slices.Contains(dayWords, t):
		default:
			return 0, false
		}
	}
	if month == 0 || len(numbers) != 2 {
		return 0, false
	}
	day, year := numbers[0], numbers[1]
	switch {
	case len(day) == 4 && len(year) <= 2:
		day, year = year, day
	case len(year) == 4 && len(day) <= 2:
	case len(year) == 2 && len(day) <= 2 && monthAt == 1: // 2-Mar-26, as spreadsheets write it
		year = "20" + year
	default:
		return 0, false
	}
	d, _ := strconv.Atoi(day)
	y, _ := strconv.Atoi(year)
	return writtenDate{first: int(month), second: d, year: y, yearFirst: true}.date(YearFirst)
}
