package ical

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"sync"
	"time"

	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// hostileZones try what a time zone can be: rules of both hemispheres, shifts of
// half an hour and of two hours, offsets with odd minutes, summers that count as
// standard time, changes at midnight, moves across the date line, no rules at all.
var hostileZones = []string{
	"Europe/Vienna", "Europe/London", "Europe/Dublin", "Europe/Lisbon", "Europe/Chisinau", "Europe/Volgograd",
	"Africa/Casablanca", "Africa/El_Aaiun", "Africa/Cairo", "Africa/Windhoek", "Africa/Monrovia", "Africa/Juba",
	"America/New_York", "America/St_Johns", "America/Nuuk", "America/Scoresbysund", "America/Havana", "America/Santiago",
	"America/Punta_Arenas", "America/Asuncion", "America/Sao_Paulo", "America/Caracas", "America/Mexico_City", "America/Adak",
	"Asia/Kolkata", "Asia/Kathmandu", "Asia/Tehran", "Asia/Beirut", "Asia/Gaza", "Asia/Almaty", "Asia/Pyongyang", "Asia/Jerusalem",
	"Australia/Lord_Howe", "Australia/Eucla", "Australia/Adelaide", "Pacific/Chatham", "Pacific/Norfolk", "Pacific/Apia",
	"Pacific/Kiritimati", "Pacific/Marquesas", "Pacific/Easter", "Antarctica/Troll", "Antarctica/Casey",
	"UTC", "Etc/GMT+5", "Etc/GMT-14",
}

// hostileLocations are the zones, read once.
var hostileLocations = sync.OnceValue(func() []*time.Location {
	locations := make([]*time.Location, len(hostileZones))
	for i, name := range hostileZones {
		location, err := time.LoadLocation(name)
		if err != nil {
			panic(err) // a machine without the database of time zones
		}
		locations[i] = location
	}
	return locations
})

// hostileTexts are names that people, or their programs, could give. Invented.
var hostileTexts = []string{
	"", " ", "   leading and trailing   ", "\tTabs\there\t", "Käte’s \"old\" machine", "咖啡机 上海", "コーヒー・マシン ﾊﾝｶｸ", "에스프레소", "กาแฟ เครื่องชง",
	"قهوة الصباح", "מכונת אספרסו", "\u202eright to left\u202c and back", "\u2067מכונה\u2069 A", "कॉफ़ी मशीन", "கொட்டை வடிநீர்", "ἐσπρέσσο", "Эспрессо-машина", "ኤስፕሬሶ", "ესპრესო", "ᏓᏂᏍᏓᏱ",
	"e\u0301\u0302\u0303\u0304 combined", "Z\u0351\u036b\u0343a\u036c\u036el\u0334g\u0321o\u0322", "👩‍👩‍👧‍👦☕️🏳️‍🌈👍🏽", "🇦🇹🇯🇵🇺🇸", "𝔈𝔰𝔭𝔯𝔢𝔰𝔰𝔬 𠜎𠜱",
	"a,b;c\\d:e\"f\"", ",,,;;;\\\\\\", "\\", "\\\\", "\\n", "\\N", "\\,", "\\;", "C:\\new\\Nordic", "^n ^' ^^", "100 %, %2C %3B %5C %0A", "&amp; <b>bold</b> ]]>",
	"one\ntwo", "one\r\ntwo", "one\rtwo", "\n", "\n\n\nlow", "high\n\n", "\r\n", "line\n folded", "line\r\n folded",
	"\x00", "null\x00byte", "bell\x07 escape\x1b[31m", "\x01\x02\x03\x04\x05\x06\x08\x0b\x0c\x0e\x1f\x7f", "unit\x1cseparators\x1d\x1e\x1f", "nel\u0085 c1\u009b", "\xff\xfe", "bad \xc3\x28 utf", "cut \xe2\x98", "\xed\xa0\x80 surrogate", "\xf8\x88\x80\x80\x80",
	"line\u2028separator", "paragraph\u2029separator", "\ufeffmark", "nbsp\u00a0 zwsp\u200b zwj\u200d", "\ufffd \ufffe \uffff", "soft\u00adhyphen",
	"BEGIN:VEVENT", "END:VCALENDAR", "x\nEND:VEVENT\nBEGIN:VALARM", "x\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n", "DTSTART;TZID=Mars/Olympus:20260101T000000", "SUMMARY:no", "mailto:a@b.example", "http://a.example/?a=1&b=2",
	"=;:,\"'", "\"", "\"\"\"", "'", "-", "--", "null", "undefined", "NaN", "true", "0", "{{.}}", "$(reboot)", "../../etc",
}

// hostileRunes fill words: of one, two, three and four octets, and some that
// formats trip over.
var hostileRunes = []rune("abcdefgh XYZ09,;:\\\"'\n\täßéñøΩЖשعกあ中한€☕️😀🧽\u0301\u200d\u2028\u00a0")

// household gives an agenda for tests; one seed gives one agenda.
func household(seed uint64) agenda.Agenda {
	rng := rand.New(rand.NewPCG(seed, 5545))
	zones := hostileLocations()
	a := agenda.Agenda{
		Place: fmt.Sprintf("place-%d", seed), Name: hostileText(rng), Zone: zones[rng.IntN(len(zones))],
		Today: record.NewDate(2026, time.January, 1) + record.Date(rng.IntN(730)),
	}
	if rng.IntN(4) > 0 {
		a.Base = "http://127.0.0.1:8321"
	}
	for i := range rng.IntN(6) {
		a.Entries = append(a.Entries, hostileEntry(rng, a, i))
	}
	for i := range rng.IntN(3) {
		a.Done = append(a.Done, hostileDone(rng, a, i))
	}
	return a
}

func hostileEntry(rng *rand.Rand, a agenda.Agenda, number int) agenda.AgendaEntry {
	task := fmt.Sprintf("machine-%d/descale/steam", number)
	e := agenda.AgendaEntry{
		UID: fmt.Sprintf("%s.%s.%d@limekeep", a.Place, task, rng.IntN(1000)),
		Due: day.Due{
			Task: task, Equipment: "machine", Name: hostileText(rng), Title: hostileText(rng),
			Cautions: hostileLines(rng), MakeSafe: hostileLines(rng), Why: hostileLines(rng),
		},
		Start: hostileStart(rng, a), Minutes: []float64{1, 5, 12.5, 30, 45, 60, 90, 120, 240, 600, 1.0 / 3, 7.123}[rng.IntN(12)],
		Sequence: rng.IntN(2000), Changed: (a.Today - record.Date(rng.IntN(90))).In(a.Zone),
	}
	switch rng.IntN(5) {
	case 0: // the whole day
		e.AllDay = true
	case 1:
		e.AllDay, e.Tentative = true, true
	case 2:
		if number == 0 { // the routine
			e.AllDay, e.EveryDays = true, 1+rng.IntN(3)
		}
	}
	// What an owner can ask for (record.Alarms).
	alarms := record.Alarms{Timed: [][]string{nil, {"1d"}, {"2h", "90m"}, {"0m"}, {"28d", "7d", "1d", "1h", "5m"}, {"1441m"}}[rng.IntN(6)]}
	e.Alarms = alarms.TimedBefore()
	if e.AllDay {
		e.Start = record.DateOf(e.Start).In(a.Zone)
		alarms = record.Alarms{AllDay: [][]string{nil, {"6h"}, {"-9h"}, {"1d", "-7h", "-23h"}, {"0m"}, {"-1m"}, {"-90m"}}[rng.IntN(7)]}
		e.Alarms = alarms.AllDayBefore()
	}
	return e
}

func hostileDone(rng *rand.Rand, a agenda.Agenda, number int) agenda.DoneEntry {
	on := a.Today - record.Date(rng.IntN(365))
	task := fmt.Sprintf("machine-%d/soak-screen/group", number)
	return agenda.DoneEntry{
		UID: fmt.Sprintf("%s.%s.%d@limekeep", a.Place, task, rng.IntN(1000)), Task: task, Equipment: "machine", Name: hostileText(rng), Title: hostileText(rng),
		On: on, Record: rng.Int64N(1e6), Entered: on.In(a.Zone).Add(time.Duration(rng.IntN(96*60)-24*60) * time.Minute),
		Source: []string{"command", "page", "to-do app", ""}[rng.IntN(4)], Says: hostileText(rng),
		Sequence: rng.IntN(10), Changed: (on + 1).In(a.Zone),
	}
}

// hostileStart gives a time within two years, half of the time within hours of a
// change of the zone's clock, where it has one.
func hostileStart(rng *rand.Rand, a agenda.Agenda) time.Time {
	at := a.Today.In(a.Zone).Add(time.Duration(rng.IntN(2*365*24*60)) * time.Minute)
	if _, end := at.ZoneBounds(); !end.IsZero() && end.Before(at.AddDate(1, 0, 0)) && rng.IntN(2) == 0 {
		at = end.Add(time.Duration(rng.IntN(61)-30) * 15 * time.Minute)
	}
	return at.In(a.Zone)
}

func hostileLines(rng *rand.Rand) []string {
	var lines []string
	for range rng.IntN(3) {
		lines = append(lines, hostileText(rng))
	}
	return lines
}

// hostileText gives one of the invented names, words made of characters of all
// lengths, a word without end, or a text that ends about where a line must fold.
func hostileText(rng *rand.Rand) string {
	switch rng.IntN(8) {
	case 0:
		words := make([]rune, rng.IntN(60))
		for i := range words {
			words[i] = hostileRunes[rng.IntN(len(hostileRunes))]
		}
		return string(words)
	case 1:
		return strings.Repeat("x", 50+rng.IntN(30)) + string(hostileRunes[rng.IntN(len(hostileRunes))]) + "y"
	case 2:
		if rng.IntN(8) == 0 {
			return strings.Repeat(string(hostileRunes[rng.IntN(len(hostileRunes))]), 300)
		}
	case 3:
		return hostileTexts[rng.IntN(len(hostileTexts))] + hostileTexts[rng.IntN(len(hostileTexts))]
	}
	return hostileTexts[rng.IntN(len(hostileTexts))]
}

// ticks says which entries of an agenda were ticked off without a service.
func ticks(a agenda.Agenda) map[string]time.Time {
	ticked := map[string]time.Time{}
	for i, e := range a.Entries {
		if i%3 == 2 {
			ticked[e.UID] = a.Today.In(a.Zone).Add(9 * time.Hour)
		}
	}
	return ticked
}
