package figure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Exact writes a number with all its digits, as somebody may have written it
// down, and never with an exponent.
func Exact(x float64) string { return unsignedZero(strconv.FormatFloat(x, 'f', -1, 64)) }

// Fixed writes a number with as many decimals as are asked for, so that columns
// line up. What rounds to zero has no sign.
func Fixed(x float64, decimals int) string {
	return unsignedZero(strconv.FormatFloat(x, 'f', decimals, 64))
}

// AtMost writes a number with as many decimals as are asked for at most: 9.10 is
// 9.1.
func AtMost(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return unsignedZero(text)
}

// Rough writes a number with about two significant digits, as people say it in a
// sentence.
func Rough(x float64) string { return AtMost(x, RoughDecimals(x)) }

// RoughDecimals returns how many decimals leave a number about two significant
// digits, 0 to 3.
func RoughDecimals(x float64) int {
	switch size := math.Abs(x); {
	case size == 0 || size >= 20:
		return 0
	case size >= 1:
		return 1
	case size >= 0.1:
		return 2
	}
	return 3
}

// Percent writes a share of one in whole per cent.
func Percent(share float64) string { return Fixed(100*share, 0) + " %" }

// Text writes percentiles with so many decimals: the likely one, and between
// which two it lies four times in five.
func (p Percentiles) Text(decimals int) string {
	return fmt.Sprintf("%s (%s to %s)", Fixed(p.Likely, decimals), Fixed(p.Low, decimals), Fixed(p.High, decimals))
}

// unsignedZero takes the minus off a zero.
func unsignedZero(text string) string {
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// Digits rounds a number to so many significant digits; what is no number is 0.
func Digits(x float64, digits int) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', digits-1, 64), 64)
	if err != nil {
		return 0
	}
	return rounded
}
