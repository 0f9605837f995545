package locale

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

// Decimal commas and points are those of the Unicode CLDR, as golang.org/x/text has it.
func TestDecimalsAreThoseOfTheCLDR(t *testing.T) {
	for _, tag := range append(slices.Concat(commas, points), "en", "en-US", "en-GB", "ja", "zh", "ko", "th", "he", "de-AT", "de-CH", "fr-CA", "es-MX", "es-AR", "pt-BR", "sv-SE", "lt-LT", "hu-HU") {
		if tag == "no" {
			tag = "nb" // which the CLDR has it stand for
		}
		want := strings.Contains(message.NewPrinter(language.MustParse(tag)).Sprint(number.Decimal(1.5)), ",")
		if got := ofLanguage(tag).Comma; got != want {
			t.Errorf("%s: a comma %t, by the CLDR %t", tag, got, want)
		}
	}
}

func TestPagesAreRewrittenForTheirReader(t *testing.T) {
	const page = `<p title="Fri 27 Nov 2026">Due <time datetime="2026-11-27">Fri 27 Nov 2026</time>, at 3.5 mm (1.2 to 10.75); 27 Nov 2026, 15:30.</p>` +
		`<input value="0.5"><textarea>0.5 on 27 Nov 2026</textarea><code>v1.2.3</code><i translate="no">1.5 <b>on</b> 3 May 2026</i> version 1.2.3, 27 November 2026, Sun 3 May, 5 March hares, a27 Nov 2026, 0.5g, −1.5, é1.5`
	for tag, want := range map[string]string{
		"en-GB": page,
		"de": `<p title="Fri 27 Nov 2026">Due <time datetime="2026-11-27">Fr 27. Nov. 2026</time>, at 3,5 mm (1,2 to 10,75); 27. Nov. 2026, 15:30.</p>` +
			`<input value="0.5"><textarea>0.5 on 27 Nov 2026</textarea><code>v1.2.3</code><i translate="no">1.5 <b>on</b> 3 May 2026</i> version 1.2.3, 27. November 2026, So 3. Mai, 5 March hares, a27 Nov 2026, 0.5g, −1,5, é1.5`,
		"en-US": `<p title="Fri 27 Nov 2026">Due <time datetime="2026-11-27">Fri, Nov 27, 2026</time>, at 3.5 mm (1.2 to 10.75); Nov 27, 2026, 15:30.</p>` +
			`<input value="0.5"><textarea>0.5 on 27 Nov 2026</textarea><code>v1.2.3</code><i translate="no">1.5 <b>on</b> 3 May 2026</i> version 1.2.3, November 27, 2026, Sun, May 3, 5 March hares, a27 Nov 2026, 0.5g, −1.5, é1.5`,
		"lt": `<p title="Fri 27 Nov 2026">Due <time datetime="2026-11-27">pn 2026-11-27</time>, at 3,5 mm (1,2 to 10,75); 2026-11-27, 15:30.</p>` +
			`<input value="0.5"><textarea>0.5 on 27 Nov 2026</textarea><code>v1.2.3</code><i translate="no">1.5 <b>on</b> 3 May 2026</i> version 1.2.3, 2026-11-27, sk 05-03, 5 March hares, a27 Nov 2026, 0.5g, −1,5, é1.5`,
	} {
		if got := string(ofLanguage(tag).Rewrite([]byte(page))); got != want {
			t.Errorf("%s:\n%s\nnot\n%s", tag, got, want)
		}
	}
}

// A month with its year, a whole weekday and the head of a column are read as well.
func TestMonthsAndHeadsAreRewritten(t *testing.T) {
	const page = `<h2>November 2026</h2><text>Jan 2027</text>, Monday 2 March at 15:04, <th><abbr title="Wednesday">W</abbr></th> May 5, Sept 2026, Mayor 2026, <abbr title="Sunday">Sun</abbr>, Sun 4, Mon and Tuesday, Fridays`
	for tag, want := range map[string]string{
		"en-GB": page,
		"de-AT": `<h2>November 2026</h2><text>Jän. 2027</text>, Montag 2. März at 15:04, <th><abbr title="Mittwoch">M</abbr></th> May 5, Sept 2026, Mayor 2026, <abbr title="Sunday">Sun</abbr>, So 4, Mon and Dienstag, Fridays`,
		"es-MX": `<h2>noviembre de 2026</h2><text>ene 2027</text>, lunes 2 de marzo at 15:04, <th><abbr title="miércoles">X</abbr></th> May 5, Sept 2026, Mayor 2026, <abbr title="Sunday">Sun</abbr>, dom 4, Mon and martes, Fridays`,
		"pl":    `<h2>listopad 2026</h2><text>sty 2027</text>, poniedziałek 2 marca at 15:04, <th><abbr title="środa">Ś</abbr></th> May 5, Sept 2026, Mayor 2026, <abbr title="Sunday">Sun</abbr>, niedz. 4, Mon and wtorek, Fridays`,
		"ja":    `<h2>2026-11</h2><text>2027-01</text>, 月曜日 03-02 at 15:04, <th><abbr title="水曜日">水</abbr></th> May 5, Sept 2026, Mayor 2026, <abbr title="Sunday">Sun</abbr>, 日 4, Mon and 火曜日, Fridays`,
	} {
		if got := string(ofLanguage(tag).Rewrite([]byte(page))); got != want {
			t.Errorf("%s:\n%s\nnot\n%s", tag, got, want)
		}
	}
}

// Every language whose numbers have a comma has names of its own, none of them twice,
// none a number, and none that a page would take for markup.
func TestNamesAreComplete(t *testing.T) {
	for _, tag := range commas {
		if ofLanguage(tag).names == english {
			t.Errorf("%s has no names", tag)
		}
	}
	for tag, n := range namesOf() {
		for what, list := range map[string][]string{"days": n.days[:], "whole days": n.wholeDays[:], "months": n.months[:], "whole months": n.wholeMonths[:], "months alone": n.monthsAlone[:], "whole months alone": n.wholeAlone[:]} {
			seen := map[string]bool{}
			for _, name := range list {
				if seen[name] || strings.TrimSpace(name) != name || !strings.ContainsFunc(name, unicode.IsLetter) || strings.ContainsAny(name, "<>&") {
					t.Errorf("%s: %s has %q", tag, what, name)
				}
				seen[name] = true
			}
		}
	}
}

// A choice goes before the browser's language, and nonsense is none.
func TestReaderIsAskedFor(t *testing.T) {
	for _, c := range []struct {
		accept, cookie string
		order          Order
		comma          bool
	}{
		{"", "", DayFirst, false}, {"de-AT,en;q=0.8", "", DayFirst, true}, {"en;q=0.3, en-US;q=0.9", "", MonthFirst, false},
		{"hu", "day.point", DayFirst, false}, {"en-US", "year.comma", YearFirst, true}, {"de", "sideways.both", DayFirst, true},
		{"*;q=2, ;;q=x", "", DayFirst, false}, {"de-CH", "", DayFirst, false},
	} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Language", c.accept)
		if c.cookie != "" {
			r.Header.Set("Cookie", Cookie+"="+c.cookie)
		}
		if got := For(r); got.Order != c.order || got.Comma != c.comma {
			t.Errorf("%q with %q: %s, a comma %t", c.accept, c.cookie, got.Order, got.Comma)
		}
	}
}

// No page breaks, whatever stands in it.
func FuzzRewrite(f *testing.F) {
	for _, seed := range []string{"<p>1.5</p>", "<textarea>1.5", "Fri 31 Feb 2026", "1.2.3", "<code", "9 May 99999", "é1.5", "1.5é"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, page string) {
		if got := string(plain.Rewrite([]byte(page))); got != page {
			t.Errorf("%q became %q", page, got)
		}
		for _, tag := range []string{"de", "en-US", "lt"} {
			got := string(ofLanguage(tag).Rewrite([]byte(page)))
			if strings.Count(got, "<") != strings.Count(page, "<") || strings.Count(got, ">") != strings.Count(page, ">") {
				t.Errorf("%s: %q became %q", tag, page, got)
			}
		}
	})
}
