package ical

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// Whatever stands in the names of an agenda and whenever its entries are, the
// checker finds nothing in the feed and the to-dos, and the text is all there.
func FuzzEncode(f *testing.F) {
	for i, text := range hostileTexts {
		f.Add(uint64(i), text, hostileTexts[len(hostileTexts)-1-i], int64(i)*1e6, 12.5)
	}
	f.Fuzz(func(t *testing.T, seed uint64, title, name string, seconds int64, minutes float64) {
		if !(minutes >= 0 && minutes <= 600) {
			return // no task takes that long
		}
		a := household(seed)
		if len(a.Entries) == 0 {
			return
		}
		e := &a.Entries[0]
		e.Due.Title, e.Due.Name, e.Due.Why, e.Minutes = title, name, []string{title + name}, minutes
		if !e.AllDay {
			const years = 20 * 365 * 86400
			e.Start = a.Today.In(a.Zone).Add(time.Duration(seconds%years) * time.Second)
		}
		checkHousehold(t, a, true)
		var feed bytes.Buffer
		if err := Encode(&feed, a); err != nil {
			t.Fatal(err)
		}
		unfolded := strings.ReplaceAll(feed.String(), "\r\n ", "")
		if want := "\r\nSUMMARY:" + escape(clean(title+" ("+name+")")) + "\r\n"; !strings.Contains(unfolded, want) {
			t.Errorf("no %q in\n%s", want, unfolded)
		}
	})
}
