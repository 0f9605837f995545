package web_test

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"limekeep/cmd/limekeep/web/locale"
)

// stays are the elements whose text is typed, copied or run, and stays as it is.
var stays = []string{"textarea", "code", "pre", "script", "style"}

// readTexts returns the texts of a page that are there to be read, and what is said of
// heads of columns by their titles.
func readTexts(t *testing.T, body string) []string {
	d := xml.NewDecoder(strings.NewReader(body))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var texts []string
	var within []bool // of each open element, whether its text stays
	for {
		token, err := d.Token()
		switch {
		case errors.Is(err, io.EOF):
			return texts
		case err != nil:
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			kept := len(within) > 0 && within[len(within)-1] || slices.Contains(stays, token.Name.Local)
			for _, a := range token.Attr {
				kept = kept || a.Name.Local == "translate" && a.Value == "no"
				if token.Name.Local == "abbr" && a.Name.Local == "title" {
					texts = append(texts, a.Value)
				}
			}
			within = append(within, kept)
		case xml.EndElement:
			within = within[:len(within)-1]
		case xml.CharData:
			if text := strings.TrimSpace(string(token)); text != "" && !(len(within) > 0 && within[len(within)-1]) {
				texts = append(texts, text)
			}
		}
	}
}

var (
	// englishNames of days and months; not May and March, which begin sentences, unless a number stands beside them.
	englishNames  = regexp.MustCompile(`\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun|Jan|Feb|Mar|Apr|Jun|Jul|Aug|Sep|Oct|Nov|Dec|Monday|Tuesday|Wednesday|Thursday|Friday|Saturday|Sunday|January|February|April|June|July|August|September|October|November|December|(May|March) \d+|\d+ (May|March))\b`)
	decimalPoints = regexp.MustCompile(`(^|[^\d.])\d+\.\d+([^\d.]|\.?$|\.\D)`)
	decimalCommas = regexp.MustCompile(`(^|[^\d,])\d+,\d+([^\d,]|,?$)`)
)

// inLanguage is a golden page as somebody reads it whose browser asks for a language.
func inLanguage(t *testing.T, name, language string) []string {
	body, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return readTexts(t, string(locale.For(get("/", "Accept-Language", language)).Rewrite(body)))
}

// Somebody who reads Finnish finds no English name of a day or a month and no decimal
// point on any page: no Finnish name is an English one, and its numbers have a comma, by
// the Unicode CLDR. In Switzerland they have a point. TestGoldenPages asks the server so.
func TestPagesAreInTheLanguageOfTheirReader(t *testing.T) {
	count := func(texts []string, of *regexp.Regexp) int {
		n := 0
		for _, text := range texts {
			n += len(of.FindAllString(text, -1))
		}
		return n
	}
	names, figures := 0, 0
	for name := range goldenPages {
		finnish, swiss, plain := inLanguage(t, name, "fi"), inLanguage(t, name, "de-CH,de;q=0.8"), inLanguage(t, name, "")
		for _, text := range finnish {
			if found := englishNames.FindString(text); found != "" {
				t.Errorf("%s: %q of %q", name, found, text)
			}
			if found := decimalPoints.FindString(text); found != "" {
				t.Errorf("%s: the point of %q in %q", name, found, text)
			}
		}
		if commas := count(swiss, decimalCommas) - count(plain, decimalCommas); commas != 0 {
			t.Errorf("%s: %d decimal commas more in Switzerland than without a language", name, commas)
		}
		names += count(plain, englishNames)
		figures += count(plain, decimalPoints)
	}
	if names < 500 || figures < 100 {
		t.Errorf("%d names and %d figures were there to be turned: the check looks past them", names, figures)
	}
}
