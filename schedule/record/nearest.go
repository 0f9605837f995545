package record

import "strings"

// Nearest returns which of some words somebody most likely meant by one that is none
// of them: the one that is fewest slips of the pen away, a slip being a letter
// wrong, missing, too much, or changed places with the next. It returns "" where all
// are further than a third of the word. Capitals, and what parts words, are no slip.
func Nearest(word string, known []string) string {
	plain := func(s string) []rune {
		s = strings.NewReplacer("_", "", "-", "", " ", "").Replace(strings.ToLower(s))
		return []rune(s)
	}
	written := plain(word)
	const longest = 60
	if len(written) == 0 || len(written) > longest {
		return ""
	}
	best, fewest := "", 0
	for _, k := range known {
		meant := plain(k)
		slips := slipsBetween(written, meant)
		if slips <= max(1, (max(len(written), len(meant))+1)/3) && slips < max(len(written), len(meant)) && (best == "" || slips < fewest) {
			best, fewest = k, slips
		}
	}
	return best
}

// slipsBetween counts the slips between two words: the optimal string alignment
// distance, which is Levenshtein's with neighbours that changed places.
func slipsBetween(a, b []rune) int {
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			same := 1
			if a[i-1] == b[j-1] {
				same = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+same)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
