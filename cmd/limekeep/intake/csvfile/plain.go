package csvfile

import "strings"

// formulaStarts are what spreadsheets take a cell that begins so for a formula, or for
// what leads to one.
const formulaStarts = "=+-@\t\r"

// Plain returns a text as a cell that no spreadsheet reads as a formula: with an
// apostrophe before it where it begins like one. Unguarded takes it off again.
func Plain(text string) string {
	if text != "" && strings.ContainsRune(formulaStarts, rune(text[0])) {
		return "'" + text
	}
	return text
}

// Unguarded returns what a cell says that Plain may have written.
func Unguarded(text string) string {
	if len(text) > 1 && text[0] == '\'' && strings.ContainsRune(formulaStarts, rune(text[1])) {
		return text[1:]
	}
	return text
}
