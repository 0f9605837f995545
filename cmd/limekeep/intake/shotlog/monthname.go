package shotlog

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"limekeep/schedule/record"
)

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
	" de of den the le el der du at um kl")

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
	} else if n := len(words) - 1; n > 1 {
		// Where times are written 7.40 or 7h40, the day before one is whole without it.
		if m, ok := parseClock([]byte(words[n])); ok && strings.ContainsAny(words[n], ".h") {
			if date, ok := dateOfTokens(words[:n]); ok {
				return date, m, true
			}
		}
	}
	date, ok := dateOfTokens(words)
	return date, minute, ok
}

// dateOfTokens makes a date of words, in which marks part day, month and year as well.
func dateOfTokens(words []string) (record.Date, bool) {
	var tokens []string
	for _, w := range words {
		tokens = append(tokens, strings.FieldsFunc(w, func(r rune) bool { return r == '-' || r == '/' || r == '.' })...)
	}
	return dateOfWords(tokens)
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
