package web_test

import (
	"fmt"
	"image"
	"image/color"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"

	"limekeep/cmd/limekeep/web"
)

// modulePixels is how large a module is drawn to be read.
const modulePixels = 3

// decode reads a code with an independent decoder; dark tells of each module.
func decode(size int, dark func(x, y int) bool) (string, error) {
	picture := image.NewGray(image.Rect(0, 0, size*modulePixels, size*modulePixels))
	for y := range size * modulePixels {
		for x := range size * modulePixels {
			if !dark(x/modulePixels, y/modulePixels) {
				picture.SetGray(x, y, color.Gray{Y: 255})
			}
		}
	}
	bitmap, err := gozxing.NewBinaryBitmapFromImage(picture)
	if err != nil {
		return "", err
	}
	read, err := qrcode.NewQRCodeReader().Decode(bitmap, nil)
	if err != nil {
		return "", err
	}
	return read.GetText(), nil
}

var (
	drawing = regexp.MustCompile(`<svg class="qr" viewBox="0 0 (\d+) (\d+)" role="img" aria-label="QR code of ([^"]+)"[^>]*><rect width="(\d+)" height="(\d+)" fill="#fff"/><path d="([^"]*)" fill="#000"/></svg>`)
	run     = regexp.MustCompile(`M(\d+) (\d+)h(\d+)v1h-(\d+)z`)
)

// readCode reads the code of something off a page, as a camera would.
func readCode(t *testing.T, body, of string) string {
	t.Helper()
	for _, d := range drawing.FindAllStringSubmatch(body, -1) {
		if d[3] != of {
			continue
		}
		if d[1] != d[2] || d[1] != d[4] || d[1] != d[5] {
			t.Fatalf("the code of %s is no square on white: %v", of, d[1:6])
		}
		size, modules := number(t, d[1]), map[image.Point]bool{}
		if left := run.ReplaceAllString(d[6], ""); left != "" {
			t.Fatalf("the code of %s holds %q", of, left)
		}
		for _, m := range run.FindAllStringSubmatch(d[6], -1) {
			x, y, length := number(t, m[1]), number(t, m[2]), number(t, m[3])
			if m[3] != m[4] {
				t.Fatalf("%s is no rectangle", m[0])
			}
			for i := range length {
				modules[image.Pt(x+i, y)] = true
			}
		}
		text, err := decode(size, func(x, y int) bool { return modules[image.Pt(x, y)] })
		if err != nil {
			t.Fatalf("the code of %s cannot be read: %v", of, err)
		}
		return text
	}
	t.Fatalf("there is no code of %s", of)
	return ""
}

func number(t *testing.T, text string) int {
	t.Helper()
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Whatever a code is made of is read back from it, from each of its drawings.
func TestQRCodeIsRead(t *testing.T) {
	texts := []string{
		"webcal://127.0.0.1:8321/calendar/LWRLBNZ7JOYGTWUVQYFLDQ2QIU/limekeep.ics",
		"https://care.example.org/calendar/LWRLBNZ7JOYGTWUVQYFLDQ2QIU/equipment/machine.ics",
		"k3v7q-2mwah-x5tdn-6byfe-pz4rj",
		"1234567890", // digits, and then the letters that QR codes know best, have encodings of their own
		"LIMEKEEP $%*+-./:",
		"é☕",
	}
	for n := 1; n < 1200; n += 97 {
		texts = append(texts, strings.Repeat("webcal:", n/7+1)[:n])
	}
	for _, text := range texts {
		code, err := web.NewQRCode(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		for name, dark := range map[string]func(x, y int) bool{"modules": code.Dark, "terminal": terminalModules(t, code)} {
			if read, err := decode(code.Size(), dark); err != nil || read != text {
				t.Errorf("%s: %q is read as %q, %v", name, text, read, err)
			}
		}
		for i := range code.Size() {
			for border := range 4 {
				if far := code.Size() - 1 - border; code.Dark(i, border) || code.Dark(border, i) || code.Dark(i, far) || code.Dark(far, i) {
					t.Fatalf("%q: the border is not free at %d", text, i)
				}
			}
		}
	}
	if _, err := web.NewQRCode(strings.Repeat("x", 3000)); err == nil {
		t.Error("a text that fits no code is taken")
	}
}

// terminalModules reads what a terminal shows: characters of two modules each,
// black on white.
func terminalModules(t *testing.T, code web.QRCode) func(x, y int) bool {
	t.Helper()
	halves := map[rune][2]bool{' ': {}, '▀': {true, false}, '▄': {false, true}, '█': {true, true}}
	var rows [][]rune
	for line := range strings.Lines(code.Terminal()) {
		shown, ok := strings.CutPrefix(line, "\x1b[38;5;16;48;5;231m")
		shown, ends := strings.CutSuffix(shown, "\x1b[0m\n")
		if row := []rune(shown); !ok || !ends || len(row) != code.Size() {
			t.Fatalf("line %q", line)
		}
		rows = append(rows, []rune(shown))
	}
	if want := (code.Size() + 1) / 2; len(rows) != want {
		t.Fatalf("%d lines, not %d", len(rows), want)
	}
	return func(x, y int) bool {
		half, ok := halves[rows[y/2][x]]
		if !ok {
			panic(fmt.Sprintf("%q stands in the code", rows[y/2][x]))
		}
		return half[y%2]
	}
}
