package placeform

import (
	"strings"

	"limekeep/water/figure"
)

// plain writes a figure as it is typed; nothing for 0, which stands for nothing said.
func plain(x float64) string {
	if x == 0 {
		return ""
	}
	return figure.Exact(x)
}

// yes is the value of a box that is ticked.
func yes(is bool) string {
	if is {
		return "yes"
	}
	return ""
}

// capital begins a text with a capital.
func capital(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
