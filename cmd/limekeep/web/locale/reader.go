package locale

import (
	"bytes"
	"net/http"
	"strconv"
	"strings"

	"limekeep/schedule/say/customary"
	"limekeep/water/figure"
)

// Reader is how somebody reads dates and numbers. Pages are put together with the day
// before the month and a decimal point, in litres and °C, and turned into this at the end, so that
// sentences, tables and pictures are written alike, wherever they come from. What is
// meant for programs stays as it is.
type Reader struct {
	Order Order           // of the parts of a date
	Comma bool            // between whole and parts of a number; else a point
	Units customary.Units // of a place's owner
	names *names
}

// Order is the order of day, month and year.
type Order string

// Orders of a date.
const (
	DayFirst   Order = "day"   // Fri 27 Nov 2026; Fr 27. Nov. 2026
	MonthFirst Order = "month" // Fri, Nov 27, 2026
	YearFirst  Order = "year"  // Fri 2026-11-27
)

// plain reads pages as they are put together.
var plain = Reader{Order: DayFirst, names: english}

// Languages and regions with another order than the day first, and with a decimal
// comma. Source: Unicode CLDR, medium dates and decimal separators; reader_test.go
// holds the commas against it.
var (
	ordersOf = map[string]Order{
		"en-us": MonthFirst, "en-ca": MonthFirst, "en-ph": MonthFirst, "fil": MonthFirst, "es-us": DayFirst,
		"zh": YearFirst, "ja": YearFirst, "ko": YearFirst, "hu": YearFirst, "lt": YearFirst, "mn": YearFirst,
	}
	commas = strings.Fields("af az be bg bs ca cs da de el es et eu fi fo fr gl hr hu hy id is it ka kk lb lt lv mk nb nl nn no pl pt ro ru sk sl sq sr sv tr uk vi")
	points = strings.Fields("de-ch de-li es-mx es-us es-gt es-hn es-ni es-pa es-pe es-pr es-sv es-do it-ch")
)

// ofLanguage returns how a language is read: a tag such as de-AT, of which the nearest
// that is known counts. What is not known is read with the day first and a point.
func ofLanguage(tag string) Reader {
	to := plain
	tag = strings.ToLower(strings.ReplaceAll(tag, "_", "-"))
	decided := false
	for part := tag; part != ""; {
		if order, ok := ordersOf[part]; ok && to.Order == DayFirst {
			to.Order = order
		}
		if named, ok := namesOf()[part]; ok && to.names == english {
			to.names = named
		}
		if !decided {
			switch {
			case contains(points, part):
				decided = true
			case contains(commas, part):
				to.Comma, decided = true, true
			}
		}
		cut := strings.LastIndex(part, "-")
		if cut < 0 {
			break
		}
		part = part[:cut]
	}
	return to
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

// Cookie is the name of the cookie that keeps what somebody chose on the page of
// dates and numbers: an Order, a point, and "comma" or "point".
const Cookie = "limekeep-dates"

// For returns how whoever asks reads: as chosen, else by the language that the
// browser asks for before others (RFC 9110, 12.5.4).
func For(r *http.Request) Reader {
	to := ofLanguage(firstLanguage(r.Header.Get("Accept-Language")))
	if cookie, err := r.Cookie(Cookie); err == nil {
		order, decimal, _ := strings.Cut(cookie.Value, ".")
		switch Order(order) {
		case DayFirst, MonthFirst, YearFirst:
			to.Order = Order(order)
		}
		if decimal == "comma" || decimal == "point" {
			to.Comma = decimal == "comma"
		}
	}
	return to
}

// firstLanguage is the language that a header asks for before others.
func firstLanguage(accept string) string {
	best, most := "", 0.0
	for item := range strings.SplitSeq(accept, ",") {
		tag, weight, found := strings.Cut(strings.TrimSpace(item), ";")
		q := 1.0
		if found {
			var err error
			if q, err = strconv.ParseFloat(strings.TrimPrefix(strings.TrimSpace(weight), "q="), 64); err != nil {
				continue
			}
		}
		if tag = strings.TrimSpace(tag); tag != "*" && q > most {
			best, most = tag, q
		}
	}
	return best
}

// Rewrite turns the texts of a page into what the reader reads. What is typed or to be
// copied stays: inputs, attributes, text areas and code, and what an element holds that
// says translate="no", as HTML has it for what nobody may put another way; no element
// of its own kind may stand in it. The day at the head of a column is turned whole.
func (to Reader) Rewrite(page []byte) []byte {
	if to == plain {
		return page
	}
	var out bytes.Buffer
	out.Grow(len(page) + len(page)/64)
	within := "" // an element whose text stays
	var in bare  // an element whose figures stand without their unit
	for len(page) > 0 {
		i := bytes.IndexByte(page, '<')
		if i < 0 {
			i = len(page)
		}
		switch {
		case within != "":
			out.Write(page[:i])
		case in.element != "":
			in.rewrite(to, &out, page[:i])
		default:
			to.text(&out, page[:i])
		}
		page = page[i:]
		if len(page) == 0 {
			break
		}
		end := bytes.IndexByte(page, '>')
		if end < 0 {
			end = len(page) - 1
		}
		tag := page[:end+1]
		page = page[end+1:]
		if day, n := dayHeadAt(tag, page); within == "" && n > 0 {
			to.dayHead(&out, day)
			page = page[n:]
			continue
		}
		out.Write(tag)
		switch {
		case within != "":
			if bytes.HasPrefix(tag, []byte("</"+within)) {
				within = ""
			}
		case in.element != "":
			if bytes.HasPrefix(tag, []byte("</"+in.element)) {
				in = bare{}
			}
		case to.Units.US && bytes.Contains(tag, []byte(" data-in=")):
			in = bareIn(tag)
		case bytes.Contains(tag, []byte(` translate="no"`)):
			within = elementOf(tag)
		default:
			for _, stays := range staying {
				if opens(tag, stays) {
					within = stays[1:]
				}
			}
		}
	}
	return out.Bytes()
}

// staying begin elements whose text stays.
var staying = []string{"<textarea", "<code", "<script", "<style", "<pre"}

// elementOf returns the name of the element that a tag opens.
func elementOf(tag []byte) string {
	name := bytes.TrimPrefix(tag, []byte("<"))
	if i := bytes.IndexAny(name, " >/"); i >= 0 {
		name = name[:i]
	}
	return string(name)
}

// opens reports whether a tag opens an element.
func opens(tag []byte, start string) bool {
	return bytes.HasPrefix(tag, []byte(start)) && len(tag) > len(start) && (tag[len(start)] == '>' || tag[len(start)] == ' ')
}

// text rewrites the dates and decimals of a text.
func (to Reader) text(out *bytes.Buffer, text []byte) {
	for i := 0; i < len(text); {
		from := i
		for i < len(text) && !to.mayBegin(text[i]) {
			i++
		}
		if out.Write(text[from:i]); i == len(text) {
			return
		}
		if !figure.EndsInWord(text[:i]) {
			if told, n := to.Units.At(text, i); n > 0 {
				out.WriteString(to.mark(told))
				i += n
				continue
			}
			if d, n := dateAt(text[i:]); n > 0 {
				to.date(out, d)
				i += n
				continue
			}
			if day, whole, n := weekdayAt(text[i:]); n > 0 {
				out.WriteString(to.names.weekday(day, whole))
				i += n
				continue
			}
			if d, n := monthAt(text[i:]); n > 0 && !behindNumber(text[:i]) {
				to.month(out, d)
				i += n
				continue
			}
			if whole, n := figure.DecimalAt(text[i:]); n > 0 && (i == 0 || text[i-1] != '.' && text[i-1] != '-') {
				out.Write(text[i : i+whole])
				out.WriteByte(map[bool]byte{true: ',', false: '.'}[to.Comma])
				out.Write(text[i+whole+1 : i+n])
				i += n
				continue
			}
		}
		out.WriteByte(text[i])
		i++
	}
}

// mayBegin reports whether anything that is rewritten begins with a byte: figures, names of
// months and weekdays, and what is said of measures in words. Most of a page does not.
func (to Reader) mayBegin(c byte) bool {
	return c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' && to.Units.Speaks(c)
}

// behindNumber reports whether a text ends with a number and a space.
func behindNumber(text []byte) bool {
	n := len(text)
	return n > 1 && text[n-1] == ' ' && text[n-2] >= '0' && text[n-2] <= '9'
}

// wordly reports whether a byte is part of a word or a number.
func wordly(b byte) bool {
	return b >= '0' && b <= '9' || b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b == '_' || b >= 0x80
}

// mark writes figures with the reader's mark of decimals.
func (to Reader) mark(text string) string {
	if to.Comma {
		return strings.ReplaceAll(text, ".", ",")
	}
	return text
}
