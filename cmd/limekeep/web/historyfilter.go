package web

import (
	"encoding/json"
	"iter"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"limekeep/cmd/limekeep/intake/csvfile"
	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// historyFilter says which records to show.
type historyFilter struct {
	Kind string // empty for all
	Text string // that a record's sentence holds, in capitals or not
}

func historyFilterOf(asked url.Values) historyFilter {
	return historyFilter{Kind: strings.TrimSpace(asked.Get("kind")), Text: strings.TrimSpace(asked.Get("text"))}
}

// Query writes the filter as the end of an address; empty for one that shows all.
func (f historyFilter) Query() string {
	q := url.Values{}
	for name, value := range map[string]string{"kind": f.Kind, "text": f.Text} {
		if value != "" {
			q.Set(name, value)
		}
	}
	if len(q) == 0 {
		return ""
	}
	return "?" + q.Encode()
}

// of returns the lines that the filter lets through.
func (f historyFilter) of(lines []day.HistoryLine) []day.HistoryLine {
	kept := []day.HistoryLine{}
	for _, l := range lines {
		if (f.Kind == "" || string(l.Kind) == f.Kind) && f.heldBy(l) {
			kept = append(kept, l)
		}
	}
	return kept
}

// heldBy reports whether a record holds the text, as pages tell of it or as files do.
func (f historyFilter) heldBy(l day.HistoryLine) bool {
	if f.Text == "" {
		return true
	}
	text, told := strings.ToLower(f.Text), l.Told()
	return strings.Contains(strings.ToLower(l.Says), text) || strings.Contains(strings.ToLower(told.Says), text)
}

// form returns the form that asks for a filter, of the kinds that there are.
func (f historyFilter) form(lines []day.HistoryLine) form.Form {
	kinds := []record.Kind{}
	for _, l := range lines {
		if !slices.Contains(kinds, l.Kind) {
			kinds = append(kinds, l.Kind)
		}
	}
	slices.Sort(kinds)
	kind := form.Field{Name: "kind", Label: wording.Kind, Kind: form.ChoiceInput, Value: f.Kind, Choices: []form.Choice{{Label: wording.AllKinds}}}
	for _, k := range kinds {
		kind.Choices = append(kind.Choices, form.Choice{Value: string(k), Label: string(k)})
	}
	return form.Form{Fields: []form.Field{kind, {Name: "text", Label: wording.HoldingTheseWords, Kind: form.LineInput, Value: f.Text, Most: 200}}}
}

// export answers with the history as a file, the oldest record first.
func (h historyPages) export(w http.ResponseWriter, r *http.Request) {
	opened, err := h.open(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	all, err := opened.History(r.Context())
	if err != nil {
		h.fail(w, r, err)
		return
	}
	lines := historyFilterOf(r.URL.Query()).of(all)
	if strings.HasSuffix(r.URL.Path, ".json") {
		w.Header().Set("Content-Type", "application/json; charset=utf-8")
		w.Header().Set("Content-Disposition", `attachment; filename="history.json"`)
		_ = json.NewEncoder(w).Encode(lines) // who asked went away
		return
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="history.csv"`)
	_ = csvfile.Write(w, historyColumns, historyRows(lines)) // who asked went away
}

// historyColumns head the rows of historyRows.
var historyColumns = []string{"record", "on", "kind", "says", "entered", "source", "voided_by"}

func historyRows(lines []day.HistoryLine) iter.Seq[[]string] {
	return func(yield func([]string) bool) {
		for _, l := range lines {
			voided := ""
			if l.Voided != 0 {
				voided = strconv.FormatInt(l.Voided, 10)
			}
			if !yield([]string{strconv.FormatInt(l.Record, 10), l.On.String(), string(l.Kind), l.Says, l.Entered.UTC().Format(time.RFC3339), l.Source, voided}) {
				return
			}
		}
	}
}
