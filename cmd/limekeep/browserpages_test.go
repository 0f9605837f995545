package main

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// unbrowsed are the addresses that answer a GET with no page of a place that the
// browser could look at, each with the reason.
var unbrowsed = map[string]string{
	"/":                           "says that nothing is there",
	"/api/answer/{record}":        "for programs",
	"/api/due":                    "for programs",
	"/calendar.ics":               "a file",
	"/history.csv":                "a file",
	"/history.json":               "a file",
	"/score.json":                 "a file",
	"/places.json":                "for programs",
	"/places/calendar":            "a file",
	"/static/icon.svg":            "no page",
	"/static/page.js":             "no page",
	"/static/style.css":           "no page",
	"/static/water.js":            "no page",
	"/sitting/{id}":               "gone through by the journeys, where one is begun",
	"/history/{record}/take-back": "gone through by the journeys, where something was written down",
	"/use/import/{id}":            "there once a file was sent",
	"/sign-in":                    "there where a password is set",
	"/set-password/{secret}":      "there by the command’s own link alone",
	"/invited/{secret}":           "there by an invitation alone",
	"/places":                     "there where one server has several places",
	"/places/table":               "there where one server has several places",
	"/places/table.csv":           "a file",
	"/places/table/{id}":          "there once a file was sent",
	"/places/compare":             "there where one server has several places",
	"/places/compare.csv":         "a file",
	"/places/compare.json":        "a file",
	"/round":                      "there where one server has several places",
	"/round.json":                 "for programs",
	"/van":                        "there where one server has several places",
	"/people":                     "there where people sign in: gone through by the technician’s week",
	"/visits/{record}":            "gone through by the technician’s week, where one was booked",
	"/reports/{record}":           "gone through by the technician’s week, where one was signed",
	"/print/visit/{record}":       "gone through by the technician’s week, where one was signed",
	"/round/load":                 "there where one server has several places",
}

// Every page that the server answers with is looked at by the browser: a new one is
// missed here until it is in the driver's list.
func TestBrowserLooksAtEveryPage(t *testing.T) {
	list, err := os.ReadFile(filepath.Join("..", "..", ".ci", "clients", "browse", "pages.json"))
	if err != nil {
		t.Fatal(err)
	}
	var pages map[string]string
	if err := json.Unmarshal(list, &pages); err != nil {
		t.Fatal(err)
	}
	if len(pages) != browsedPages {
		t.Errorf("the driver has %d pages, the test %d", len(pages), browsedPages)
	}
	patterns := getPatterns(t, "web")
	if len(patterns) < 30 {
		t.Fatalf("only %d addresses were found: %q", len(patterns), patterns)
	}
	mux := http.NewServeMux()
	for _, p := range patterns {
		mux.HandleFunc("GET "+p, func(http.ResponseWriter, *http.Request) {})
	}
	looked := map[string]bool{}
	for what, path := range pages {
		path = strings.ReplaceAll(path, "{task}", taskOnPhone)
		_, pattern := mux.Handler(httptest.NewRequest(http.MethodGet, path, nil))
		if pattern == "GET /" || pattern == "" {
			t.Errorf("%s: nothing is at %s", what, path)
		}
		looked[strings.TrimPrefix(pattern, "GET ")] = true
	}
	for _, p := range patterns {
		if _, left := unbrowsed[p]; left == looked[p] {
			t.Errorf("%s: looked at %t, left out %t: put it into .ci/clients/browse/pages.json, or say why not", p, looked[p], left)
		}
	}
	for p := range unbrowsed {
		if !slices.Contains(patterns, p) {
			t.Errorf("%s is left out, and there is no such address", p)
		}
	}
}

// getPatterns reads, from the source of a package, the addresses that answer a GET.
func getPatterns(t *testing.T, folder string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	constants := map[string]ast.Expr{}
	var asked []ast.Expr
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ValueSpec:
				for i, value := range n.Values {
					constants[n.Names[i].Name] = value
				}
			case *ast.CallExpr:
				if f, ok := n.Fun.(*ast.SelectorExpr); ok && (f.Sel.Name == "HandleFunc" || f.Sel.Name == "Handle") && len(n.Args) == 2 {
					asked = append(asked, n.Args[0])
				}
			}
			return true
		})
	}
	// text is what an expression of constants comes to.
	var text func(ast.Expr) string
	text = func(e ast.Expr) string {
		switch e := e.(type) {
		case *ast.BasicLit:
			s, err := strconv.Unquote(e.Value)
			if err != nil {
				t.Fatal(err)
			}
			return s
		case *ast.Ident:
			if value, ok := constants[e.Name]; ok {
				return text(value)
			}
		case *ast.BinaryExpr:
			return text(e.X) + text(e.Y)
		}
		t.Fatalf("an address that is no constant: %T", e)
		return ""
	}
	var patterns []string
	for _, e := range asked {
		if path, ok := strings.CutPrefix(text(e), "GET "); ok {
			patterns = append(patterns, path)
		}
	}
	slices.Sort(patterns)
	return slices.Compact(patterns)
}
