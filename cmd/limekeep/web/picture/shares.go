package picture

import (
	"fmt"
	"strings"

	"limekeep/cmd/limekeep/web/wording"
)

// Shares is a whole in its parts, as a bar that lies.
type Shares struct {
	ID    string // its own on the page
	Title string
	Unit  string
	Parts []Share
}

// Share is a part of a whole.
type Share struct {
	Name  string
	Value float64
}

// Draw draws the bar, with a line beneath for each part: by their shapes and their
// hatching the parts are told apart.
func (s Shares) Draw(w Writing) Picture {
	var on canvas
	total := 0.0
	for _, p := range s.Parts {
		total += max(p.Value, 0)
	}
	const left, width, top, tall = 4.0, 392.0, 6.0, 34.0
	x := left
	y := top + tall + 22
	for i, p := range s.Parts {
		class := fmt.Sprintf("share share-%d", i%4)
		if total > 0 && p.Value > 0 {
			wide := width * p.Value / total
			on.rect(x, top, wide, tall, 0, class)
			hatch(&on, i, x, top, wide, tall)
			x += wide
		}
		on.rect(left, y-11, 14, 12, 0, class)
		hatch(&on, i, left, y-11, 14, 12)
		on.text(left+22, y, "start", "words", shortened(p.Name, 31))
		on.text(left+width, y, "end", "words strong", s.amount(w, p, total))
		y += 20
	}
	return finish(&on, s.ID, "shares", s.Title, s.says(w, total), courseWidth, y-6, s.table(w, total))
}

// hatch draws lines over every second and third kind of part.
func hatch(on *canvas, i int, x, y, width, tall float64) {
	if i%4 == 0 {
		return
	}
	step := 7.0 - float64(i%4)
	for at := step; at < width; at += step + 2 {
		if i%2 == 1 {
			on.line(x+at, y, x+at, y+tall, "hatch")
		} else {
			on.line(x+at, y+tall, x+min(at+4, width), y, "hatch")
		}
	}
}

func (s Shares) amount(w Writing, p Share, total float64) string {
	share := 0.0
	if total > 0 {
		share = max(p.Value, 0) / total
	}
	return fmt.Sprintf("%s %s, %s", w.rough(p.Value), s.Unit, w.percent(share))
}

func (s Shares) says(w Writing, total float64) string {
	var parts []string
	for _, p := range s.Parts {
		parts = append(parts, p.Name+": "+s.amount(w, p, total))
	}
	return wording.SharesOf(w.rough(total)+" "+s.Unit, strings.Join(parts, "; "))
}

func (s Shares) table(w Writing, total float64) Table {
	t := Table{Head: []string{wording.Part, wording.AmountAndShare}}
	for _, p := range s.Parts {
		t.Rows = append(t.Rows, []string{p.Name, s.amount(w, p, total)})
	}
	return t
}
