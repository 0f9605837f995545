package main

import (
	"strings"

	"github.com/spf13/cobra"
)

// examples are of commands that need no more words than their name, by path.
var examples = map[string][]string{
	"":                  {"setup", "due", "next", "done backflush-detergent", "serve"},
	"apps":              {"apps add Phone", "apps list"},
	"apps list":         {"apps list"},
	"apps revoke":       {"apps revoke Phone"},
	"away":              {"away add --from 2026-07-06 --to 2026-07-19", "away end"},
	"away end":          {"away end", "away end 12"},
	"away list":         {"away list"},
	"block":             {"block 2026-08-01", "block 2026-08-01 --to 2026-08-14"},
	"calendar":          {"calendar --out care.ics", "calendar address --qr"},
	"calendar address":  {"calendar address --qr"},
	"check":             {"check"},
	"due":               {"due", "due --all", "due --json --today 2026-12-24"},
	"export":            {"export kitchen.jsonl"},
	"fleet":             {"fleet setup places.csv --template cafe.yaml --dry-run", "fleet list", "fleet compare"},
	"history":           {"history"},
	"jobs":              {"jobs", "jobs --json"},
	"measure":           {"measure flow --grams 180 --seconds 20", "measure show"},
	"measure show":      {"measure show", "measure show flow-test"},
	"next":              {"next"},
	"password":          {"password set", "password sign-out"},
	"password remove":   {"password remove"},
	"password set":      {"password set"},
	"password sign-out": {"password sign-out"},
	"people":            {"people invite Anna --role technician", "people"},
	"people invite":     {"people invite Anna --role technician --at blue,red"},
	"people list":       {"people list"},
	"people remove":     {"people remove Anna"},
	"plan":              {"plan", "plan --months 6 --why"},
	"replan":            {"replan", "replan --data postgres://care.example.org/limekeep --workers 4"},
	"round":             {"round --round round.yaml", "round --weeks 2 --place blue,red"},
	"van":               {"van"},
	"van came":          {"van came detergent 2"},
	"van lead":          {"van lead detergent 10"},
	"van set":           {"van set detergent 12"},
	"steps":             {"steps descale/steam"},
	"stock":             {"stock", "stock set detergent 12"},
	"stock came":        {"stock came detergent 2"},
	"stock lead":        {"stock lead detergent 10"},
	"stock set":         {"stock set detergent 12"},
	"tasks":             {"tasks"},
	"use":               {"use add --shots 4 --steamed 2", "use import shots.csv --dry-run", "use show --by month"},
	"use show":          {"use show --by week"},
	"version":           {"version"},
	"void":              {"void 12"},
	"water":             {`water add --hardness "14 dH" --alkalinity "11 dH" --method drop`, "water judge"},
	"why":               {"why descale/steam"},
}

// addExamples gives commands without an example the one that stands above.
func addExamples(cmd *cobra.Command) {
	_, path, _ := strings.Cut(cmd.CommandPath(), " ")
	if lines := examples[path]; cmd.Example == "" && len(lines) > 0 {
		cmd.Example = "  limekeep " + strings.Join(lines, "\n  limekeep ")
	}
	for _, sub := range cmd.Commands() {
		addExamples(sub)
	}
}
