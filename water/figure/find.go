package figure

import (
	"unicode"
	"unicode/utf8"
)

// At measures a number, with or without decimals, that a text begins with; 0 where it
// begins with none. The mark of decimals is a point.
func At(text []byte) (length int) {
	if _, all := DecimalAt(text); all > 0 {
		return all
	}
	return digitsFrom(text, 0)
}

// DecimalAt measures a number with a decimal point that a text begins with: its whole part
// and all of it; 0 for none. What goes on with another point, as a version does, is none.
func DecimalAt(text []byte) (whole, all int) {
	whole = digitsFrom(text, 0)
	if whole == 0 || whole >= len(text) || text[whole] != '.' {
		return 0, 0
	}
	all = digitsFrom(text, whole+1)
	if all == whole+1 || all < len(text) && (wordly(text[all]) || text[all] == '.' && digitsFrom(text, all+1) > all+1) {
		return 0, 0
	}
	return whole, all
}

// EndsInWord reports whether a text ends within a word or a number.
func EndsInWord(text []byte) bool {
	last, size := utf8.DecodeLastRune(text)
	return size > 0 && (unicode.IsLetter(last) || unicode.IsDigit(last) || last == '_')
}

// digitsFrom returns where the digits end that a text has from a place on.
func digitsFrom(text []byte, i int) int {
	for i < len(text) && text[i] >= '0' && text[i] <= '9' {
		i++
	}
	return i
}

// wordly reports whether a byte of ASCII is part of a word or a number.
func wordly(b byte) bool {
	return b >= '0' && b <= '9' || b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b == '_'
}
