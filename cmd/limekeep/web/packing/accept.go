package packing

import (
	"strconv"
	"strings"
)

// TakesGzip reports whether an Accept-Encoding header takes gzip (RFC 9110, 12.5.3). A
// coding named by itself goes before the star.
func TakesGzip(accept string) bool {
	star := false
	for item := range strings.SplitSeq(accept, ",") {
		coding, parameter, _ := strings.Cut(item, ";")
		takes := true
		if weight, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(parameter)), "q="); ok {
			q, err := strconv.ParseFloat(weight, 64)
			takes = err == nil && q > 0
		}
		switch strings.ToLower(strings.TrimSpace(coding)) {
		case "gzip", "x-gzip":
			return takes
		case "*":
			star = takes
		}
	}
	return star
}
