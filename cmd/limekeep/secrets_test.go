package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// secretWords are what names of secrets hold.
var secretWords = regexp.MustCompile(`(?i)secret|password|token|hash|cookie`)

// plainlyCompared are comparisons of something that has such a name and is no secret, or that
// are of no use to who measures their time, each with the reason.
var plainlyCompared = map[string]string{
	"web/form/oncetoken.go: u.token, token":         "it tells a form apart that was sent twice, and opens nothing",
	"web/form/oncetoken.go: len(), mostTokens":      "a number",
	"web/passwordpage.go: f.Kind, form.SecretInput": "what kind of field it is",
	"web/dav/ifheader.go: c.token, syncToken()":     "it says how much of the collection an app has seen, and opens nothing",
}

// Secrets are compared in a time that tells nothing of them, by crypto/subtle: no operator, and
// no function that stops at the first difference, is used on anything named like one. What a
// database looks up is looked up by its hash, of which time tells nothing either.
func TestSecretsAreComparedInConstantTime(t *testing.T) {
	looked, constant := 0, 0
	for _, room := range []string{"web", "web/dav", "web/api", "web/locale", "web/packing", "web/gate", "web/form", ".", "../../store"} {
		files, err := filepath.Glob(filepath.Join(room, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range files {
			if strings.HasSuffix(path, "_test.go") {
				continue
			}
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			looked++
			ast.Inspect(file, func(n ast.Node) bool {
				var sides []ast.Expr
				switch n := n.(type) {
				case *ast.BinaryExpr:
					if n.Op == token.EQL || n.Op == token.NEQ {
						sides = []ast.Expr{n.X, n.Y}
					}
				case *ast.CallExpr:
					switch name := nameOf(n.Fun); name {
					case "subtle.ConstantTimeCompare":
						constant++
					case "bytes.Equal", "bytes.Compare", "strings.EqualFold", "strings.Compare", "slices.Equal", "reflect.DeepEqual", "slices.Contains":
						sides = n.Args
					}
				}
				for i, side := range sides {
					if secretWords.MatchString(nameOf(side)) && !plain(sides[1-min(i, 1)]) {
						where := filepath.ToSlash(path) + ": " + nameOf(sides[0]) + ", " + nameOf(sides[1])
						if plainlyCompared[where] == "" {
							t.Errorf("%s: %q is compared in a time that tells of it", set.Position(n.Pos()), where)
						}
						break
					}
				}
				return true
			})
		}
	}
	if looked < 50 || constant < 3 {
		t.Errorf("%d files and %d comparisons in constant time were found: the test looks in the wrong place", looked, constant)
	}
}

// plain reports whether a value is known to all: nothing, a number or a text of the program.
func plain(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BasicLit:
		return true
	case *ast.Ident:
		return e.Name == "nil" || e.Name == "true" || e.Name == "false"
	}
	return false
}

// nameOf writes a name, with what it is part of; of a call it is what is called.
func nameOf(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return nameOf(e.X) + "." + e.Sel.Name
	case *ast.CallExpr:
		return nameOf(e.Fun) + "()"
	case *ast.IndexExpr:
		return nameOf(e.X)
	case *ast.SliceExpr:
		return nameOf(e.X)
	case *ast.StarExpr:
		return nameOf(e.X)
	case *ast.ParenExpr:
		return nameOf(e.X)
	}
	return ""
}
