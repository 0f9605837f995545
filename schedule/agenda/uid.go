package agenda

import (
	"fmt"
	"strconv"
	"strings"

	"limekeep/schedule/day"
)

// slug writes a name so that it can stand in a UID.
func slug(name string) string {
	return strings.Trim(strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ToLower(name)), "-")
}

// uid names an entry for as long as its task is not done.
func uid(place string, d day.Due) string { return entryUID(place, d.Task, d.Served) }

// entryUID names the entry of a task whose last service is a record, 0 for none.
func entryUID(place, task string, served int64) string {
	return fmt.Sprintf("%s.%s.%d@limekeep", place, task, served)
}

// SplitUID reads the UID of a task's entry: its task and the record of the service
// before it.
func SplitUID(place, uid string) (task string, served int64, ok bool) {
	inner, ok := strings.CutSuffix(uid, "@limekeep")
	if !ok {
		return "", 0, false
	}
	if inner, ok = strings.CutPrefix(inner, place+"."); !ok {
		return "", 0, false
	}
	dot := strings.LastIndexByte(inner, '.')
	if dot < 0 {
		return "", 0, false
	}
	served, err := strconv.ParseInt(inner[dot+1:], 10, 64)
	return inner[:dot], served, err == nil && served >= 0
}
