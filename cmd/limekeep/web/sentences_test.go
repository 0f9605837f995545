package web

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// noPages are rooms and files that no page has its words from, and why.
var noPages = map[string]string{
	"wording":         "here they stand",
	"dav":             "errors of a protocol, which task apps read",
	"api":             "descriptions and errors for those who write programs",
	"metrics.go":      "help texts of figures that a monitor reads",
	"gate/metrics.go": "help texts of figures that a monitor reads",
	"locale":          "names of days and months as pages are put together, by which they are found and turned",
}

// notSaid are texts of words that stand on no page, and why.
var notSaid = map[string]string{
	"default-src 'self'; script-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'": "a header",
	"private, max-age=": "a header", "inline; filename=\"": "a header", "Vary": "a header", "Bearer ": "a header", "Host": "the header that an error is about",
	" href=\"/": "an attribute", " action=\"/": "an attribute", " formaction=\"/": "an attribute",
	"share share-%d": "classes of a style sheet",
	"form ":          "the name of a lock", "place ": "the name of a lock", "amendment ": "a kind of state", "edition ": "a kind of state", "deletion ": "a kind of state",
	"address ": "the beginning of a key", "wrong password": "the kind of an attempt that is counted", "sum of ": "the name of a value that is worked out of a file",
	"as written": "the value of a choice, as forms send it", "Group": "a type whose fields are asked for", "open period away": "what an error of the journal calls a field",
	"the file was not taken": "a sign between functions; the page says what is wrong", "not every place was worked out yet": "a sign between functions; the page says so in its own words",
	"a %T is not a date": "a mistake of a template", "a panic: %v\n%s": "for the log",
	`{"error":"a token is asked for: Authorization: Bearer TOKEN, made by \"limekeep apps add NAME --scope all\""}`: "an answer to a program",
}

var (
	severalWords = regexp.MustCompile(`\pL[\pL'’,.:;)]* +[\pL(‘“%]`)
	partOfWords  = regexp.MustCompile(`^[,;:.]* \pL|\pL[,;:]? $`)
	oneWord      = regexp.MustCompile(`^[A-Z][a-z]+$`)
	markup       = regexp.MustCompile(`<[^>]*>`)
	mediaType    = regexp.MustCompile(`^[a-z]+/[a-z]+; `)
	verb         = regexp.MustCompile(`%[-+# 0-9.]*[a-zA-Z]`)
	letter       = regexp.MustCompile(`\pL`)
)

// readFields are what a form, a page or a picture has to show.
var readFields = []string{"Label", "Hint", "Title", "Button", "Says", "Desc"}

// stray is a text for a reader that stands in code.
type stray struct {
	at   token.Position
	text string
}

// straysOf finds what is said in a file. What goes into the log, names of headers,
// patterns of addresses, names of types and classes of a style sheet are not said.
func straysOf(files *token.FileSet, file *ast.File) []stray {
	var all []stray
	unsaid, shown := map[ast.Node]bool{}, map[ast.Node]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		if n == nil || unsaid[n] {
			return false
		}
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field:
			if n.Tag != nil {
				unsaid[n.Tag] = true
			}
		case *ast.KeyValueExpr:
			if key, ok := n.Key.(*ast.Ident); ok && slices.Contains(readFields, key.Name) {
				shown[n.Value] = true
			}
		case *ast.CallExpr:
			for _, arg := range unsaidOf(n) {
				unsaid[arg] = true
			}
		case *ast.BasicLit:
			text, err := strconv.Unquote(n.Value)
			if n.Kind != token.STRING || err != nil || mediaType.MatchString(text) {
				return true
			}
			plain := verb.ReplaceAllString(markup.ReplaceAllString(text, ""), "%")
			if severalWords.MatchString(plain) || partOfWords.MatchString(plain) || oneWord.MatchString(plain) || shown[n] && letter.MatchString(plain) {
				all = append(all, stray{files.Position(n.Pos()), text})
			}
		}
		return true
	})
	return all
}

// unsaidOf returns the arguments of a call that no reader sees.
func unsaidOf(call *ast.CallExpr) []ast.Expr {
	method, ok := call.Fun.(*ast.SelectorExpr)
	if !ok {
		if name, ok := call.Fun.(*ast.Ident); ok && slices.Contains([]string{"static", "shape"}, name.Name) {
			return call.Args
		}
		return nil
	}
	if of, ok := method.X.(*ast.CallExpr); ok {
		if get, ok := of.Fun.(*ast.SelectorExpr); ok && get.Sel.Name == "Header" {
			return call.Args
		}
	}
	if of, ok := method.X.(*ast.SelectorExpr); ok && of.Sel.Name == "Header" {
		return call.Args
	}
	last := len(call.Args) - 1
	switch method.Sel.Name {
	case "DebugContext", "InfoContext", "WarnContext", "ErrorContext", "LogAttrs", "Debug", "Info", "Warn", "Error":
		return call.Args
	case "HandleFunc", "Handle":
		return call.Args[:1]
	case "Errorf": // of an error within, which says what is wrong
		if format, ok := call.Args[0].(*ast.BasicLit); ok && strings.Contains(format.Value, "%w") {
			return call.Args[:1]
		}
	}
	of, ok := method.X.(*ast.Ident)
	if !ok {
		return nil
	}
	if of.Name == "w" && method.Sel.Name == "fields" { // of a form: a type and names of its fields
		return call.Args
	}
	if !slices.Contains([]string{"on", "c", "whole"}, of.Name) { // what is drawn
		return nil
	}
	switch method.Sel.Name {
	case "line", "path", "rect", "circle":
		return call.Args[last:]
	case "text":
		return call.Args[3:4]
	case "words":
		return call.Args[2:]
	case "draw", "open":
		return call.Args
	}
	return nil
}

// A language that comes later is written in the templates, in the room of words and
// where commands have theirs; none of it stands anywhere else.
func TestSentencesOfPagesStandInOneRoom(t *testing.T) {
	files, met := token.NewFileSet(), map[string]bool{}
	err := filepath.WalkDir(".", func(path string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case noPages[filepath.ToSlash(path)] != "":
			met[filepath.ToSlash(path)] = true
			if entry.IsDir() {
				return fs.SkipDir
			}
			return nil
		case entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		file, err := parser.ParseFile(files, path, nil, 0)
		if err != nil {
			return err
		}
		for _, s := range straysOf(files, file) {
			if notSaid[s.text] == "" {
				t.Errorf("%s: %q is said on a page: put it into the room of words", s.at, s.text)
			}
			met[s.text] = true
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for text := range noPages {
		if !met[text] {
			t.Errorf("%s is excepted and not there", text)
		}
	}
	for text := range notSaid {
		if !met[text] {
			t.Errorf("%q is excepted and stands nowhere", text)
		}
	}
}

// quoted are the texts in a script.
var quoted = regexp.MustCompile("\"[^\"\\n]*\"|`[^`]*`")

// worked is what a script works out within a text.
var worked = regexp.MustCompile(`\$\{[^}]*\}`)

// Scripts say what the page brings them.
func TestScriptsSayNothingOfTheirOwn(t *testing.T) {
	scripts, err := filepath.Glob("static/*.js")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("%d scripts, %v", len(scripts), err)
	}
	for _, name := range scripts {
		script, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.SplitSeq(string(script), "\n") {
			for _, text := range quoted.FindAllString(strings.SplitN(line, "// ", 2)[0], -1) {
				if severalWords.MatchString(worked.ReplaceAllString(text, "")) && text != `"use strict"` && text != `"hint said"` {
					t.Errorf("%s says %s: put it into the template of its page", name, text)
				}
			}
		}
	}
}

// The check sees what it is there for, and lets pass what nobody reads.
func TestStraySentencesAreSeen(t *testing.T) {
	for code, want := range map[string][]string{
		`h.message(w, r, 404, "Nothing here", "There is no page.")`:                    {"Nothing here", "There is no page."},
		`form.Field{Name: "day", Label: "Day", Hint: "open"}`:                          {"Day", "open"},
		`form.Field{Name: "day", Kind: form.DateInput}`:                                nil,
		`text = "Past of " + part`:                                                     {"Past of "},
		`text += " came off"`:                                                          {" came off"},
		`menuEntry{"/", "Now"}`:                                                        {"Now"},
		`fmt.Sprintf("in %d days", n)`:                                                 {"in %d days"},
		`fmt.Sprintf("<p>Open it</p>")`:                                                {"<p>Open it</p>"},
		`errors.New("choose one first")`:                                               {"choose one first"},
		`fmt.Errorf("a tick of another server: %w", err)`:                              nil,
		`fmt.Errorf("choose %d first", n)`:                                             {"choose %d first"},
		`h.log.WarnContext(ctx, "somebody signed in", "address", address)`:             nil,
		`w.Header().Set("Vary", "private, no-cache")`:                                  nil,
		`mux.HandleFunc("GET /water", h.water)`:                                        nil,
		`static("text/css; charset=utf-8", styleSheet)`:                                nil,
		`on.text(0, 0, "middle", "words strong", "last done")`:                         {"last done"},
		`on.text(0, 0, "middle", either(x, "words small", "words"), wording.LastDone)`: nil,
		`on.line(0, 0, 0, 0, "pipe cold")`:                                             nil,
		`http.Error(w, wording.PageNotShown, 500)`:                                     nil,
	} {
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, "page.go", "package web\nfunc f() { _ = 0\n"+statement(code)+"}", 0)
		if err != nil {
			t.Fatal(code, err)
		}
		var got []string
		for _, s := range straysOf(files, file) {
			got = append(got, s.text)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: found %q, want %q", code, got, want)
		}
	}
}

// statement makes one of an expression.
func statement(code string) string {
	if strings.Contains(code, "= ") {
		return code + "\n"
	}
	return "_ = " + code + "\n"
}
