package web

import (
	"fmt"
	"strings"

	"rsc.io/qr"
)

// QRCode is a text as a two-dimensional barcode that a phone reads with its
// camera (ISO/IEC 18004), with the light border that readers need.
type QRCode struct{ code *qr.Code }

// quietZone is the width of the light border in modules (ISO/IEC 18004:2015,
// 6.3.8).
const quietZone = 4

// NewQRCode makes the code of a text of up to some two thousand bytes; a longer
// one is an error. A code stays readable with about 15 % of it lost (level M).
func NewQRCode(text string) (QRCode, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return QRCode{}, fmt.Errorf("a QR code of %d bytes: %w", len(text), err)
	}
	return QRCode{code}, nil
}

// Size returns the length of a side in modules, border included.
func (q QRCode) Size() int { return q.code.Size + 2*quietZone }

// Dark reports whether a module is dark; x runs to the right and y down, from 0.
// Modules outside are light.
func (q QRCode) Dark(x, y int) bool { return q.code.Black(x-quietZone, y-quietZone) }

// Path returns the dark modules as a path of SVG in units of a module: a rectangle
// for each run of them in a row.
func (q QRCode) Path() string {
	var b strings.Builder
	for y := range q.Size() {
		for x := 0; x < q.Size(); x++ {
			run := 0
			for q.Dark(x+run, y) {
				run++
			}
			if run > 0 {
				fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", x, y, run, run)
				x += run
			}
		}
	}
	return b.String()
}

// Black on white whatever the colours of the terminal are: many readers take no
// light code on a dark ground. Colours 16 and 231 of the usual 256 are black and
// white, which themes leave alone.
const (
	blackOnWhite = "\x1b[38;5;16;48;5;231m"
	plainColours = "\x1b[0m"
)

// Terminal draws the code for a terminal, two rows of modules to a line.
func (q QRCode) Terminal() string {
	halves := map[[2]bool]rune{{false, false}: ' ', {true, false}: '▀', {false, true}: '▄', {true, true}: '█'}
	var b strings.Builder
	for y := 0; y < q.Size(); y += 2 {
		b.WriteString(blackOnWhite)
		for x := range q.Size() {
			b.WriteRune(halves[[2]bool{q.Dark(x, y), q.Dark(x, y+1)}])
		}
		b.WriteString(plainColours + "\n")
	}
	return b.String()
}
