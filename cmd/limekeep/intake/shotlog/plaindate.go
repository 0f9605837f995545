package shotlog

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"
)

// plainDate writes a date in the figures, marks and blanks that the readers of dates know:
// blanks that do not break, as spreadsheets and pages put before a time, figures of Arabic,
// Persian or full width, and the words for year, month and day that stand behind their figures
// in Chinese, Japanese and Korean. What has none of them comes back as it is.
func plainDate(cell []byte) []byte {
	if !bytes.ContainsFunc(cell, func(r rune) bool { return r >= utf8.RuneSelf }) {
		return cell
	}
	text := strings.Map(func(r rune) rune {
		switch {
		case r < utf8.RuneSelf:
			return r
		case unicode.IsSpace(r):
			return ' '
		case r >= '٠' && r <= '٩':
			return '0' + r - '٠'
		case r >= '۰' && r <= '۹':
			return '0' + r - '۰'
		case r >= '！' && r <= '～': // the full width of ASCII
			return r - '！' + '!'
		}
		return r
	}, string(cell))
	text = yearsMonthsDays.Replace(text)
	return []byte(strings.TrimSpace(text))
}

var yearsMonthsDays = strings.NewReplacer(
	"年", "-", "月", "-", "日", " ",
	"년 ", "-", "월 ", "-", "년", "-", "월", "-", "일", " ")
