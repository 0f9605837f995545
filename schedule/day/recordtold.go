package day

import (
	"strings"

	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// ToldAlone tells of a record where its task is named already: of a service what was found.
func (l HistoryLine) ToldAlone() Told {
	told := l.Told()
	if l.Kind != record.KindService {
		return told
	}
	says := strings.TrimSuffix(l.Says, say.WithNote("", told.Note))
	if _, found, ok := strings.Cut(says, ", "); ok {
		told.Says = found
	} else {
		told.Says = "done"
	}
	return told
}
