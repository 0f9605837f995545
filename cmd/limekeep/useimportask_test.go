package main

import (
	"strings"
	"testing"

	"limekeep/cmd/limekeep/intake/shotlog"
)

func TestAskQuestions(t *testing.T) {
	doses := shotlog.Question{Row: 1, Text: "18 g in a row of 2 shots", Doses: true}
	water := shotlog.Question{Row: 2, Text: "150 litres"}
	for _, c := range []struct {
		name, typed string
		questions   []shotlog.Question
		want        bool
		options     shotlog.Options
	}{
		{"each, and yes", "each\ny\n", []shotlog.Question{doses, water}, true, shotlog.Options{Doses: shotlog.EachShot, AsWritten: true}},
		{"together", "Together\n", []shotlog.Question{doses}, true, shotlog.Options{Doses: shotlog.AllTogether}},
		{"neither", "both\n", []shotlog.Question{doses}, false, shotlog.Options{}},
		{"no", "n\n", []shotlog.Question{water}, false, shotlog.Options{}},
		{"nothing", "\n", []shotlog.Question{water}, false, shotlog.Options{}},
		{"the end", "", []shotlog.Question{water}, false, shotlog.Options{}},
	} {
		var out strings.Builder
		var options shotlog.Options
		got := askQuestions(strings.NewReader(c.typed), &out, c.questions, &options)
		if got != c.want || c.want && (options.Doses != c.options.Doses || options.AsWritten != c.options.AsWritten) {
			t.Errorf("%s: %t, %+v", c.name, got, options)
		}
		if !strings.Contains(out.String(), c.questions[0].Text) {
			t.Errorf("%s: it asks %q", c.name, out.String())
		}
	}
}
