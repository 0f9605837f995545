package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// notOurs are words of the system, of databases, of libraries and of Go.
var notOurs = regexp.MustCompile(`SQLITE_|SQL logic|disk i/o|readonly database|\bEOF\b|strconv|syntax error|invalid (syntax|character|memory)|unexpected|token|\b(open|read|stat|mkdir|listen|dial|bind)( tcp)? [\w./:-]+: |no such file or directory|permission denied|is a directory|not a directory|address already|goroutine|panic|nil pointer|runtime error|unmarshal|struct|yaml:|json:|x509|tls:|ical:|arg\(s\)|context (canceled|deadline)|exit status|signal|%!|\b0x[0-9a-f]{4,}|\*\w+\.\w+`)

// Whatever is given to a command that it cannot take, it is told in our words.
func TestErrorsAreInOurWords(t *testing.T) {
	if testing.Short() {
		t.Skip("it opens records some hundred times; make test does")
	}
	folder := t.TempDir()
	t.Setenv("HOME", folder)
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(folder, "config"))
	t.Setenv("LIMEKEEP_WORLDS", "10")
	t.Setenv("LIMEKEEP_EFFORT", "40000")
	at := func(name string) string { return filepath.Join(folder, name) }
	place, err := os.ReadFile("demoplace.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, content := range map[string]string{
		"place.yaml": string(place), "text": "LMKP\n{\"a\":", "bytes": "\x00\x01\x02\xff", "empty": "", "list": "[1,2", "object": "place: {id: x\n", "half": "{\"limekeep_export\":1}\n{\"record\":", "colons": "a: b: c\n", "tab": "place:\n\tid: x\n", "quote": "place: \"x\n", "anchor": "place: *x\n",
		"cut.db": "SQLite format 3\x00" + strings.Repeat("\x01", 84), "calendar.ics": "BEGIN:VCALENDAR\nX\n",
	} {
		if err := os.WriteFile(at(name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(at("folder"), 0o700); err != nil {
		t.Fatal(err)
	}
	said := func(args ...string) string {
		t.Helper()
		ctx, cancel := context.WithTimeout(t.Context(), time.Hour)
		defer cancel()
		root := newRoot()
		root.SetArgs(args)
		root.SetIn(strings.NewReader(""))
		root.SetOut(&bytes.Buffer{})
		root.SetErr(&bytes.Buffer{})
		err := root.ExecuteContext(ctx)
		if err == nil {
			return ""
		}
		return strings.Join(errorLines(err), "\n")
	}
	records := at("records.db")
	if told := said("setup", at("place.yaml"), "--data", records); told != "" {
		t.Fatal(told)
	}
	wrong := [][]string{
		{"due", "--data", at("folder")}, {"due", "--data", at("text")}, {"due", "--data", at("cut.db")}, {"due", "--data", filepath.Join(records, "x")}, {"due", "--data", "/dev/null"},
		{"due", "--settings", at("nowhere")}, {"due", "--settings", at("folder")}, {"due", "--settings", at("bytes")}, {"due", "--settings", at("list")}, {"due", "--settings", at("tab")},
		{"due", "--worlds", "many"}, {"due", "--worlds", "99999999999999999999"}, {"due", "--nothing"}, {"due", "more"}, {"due", "--worlds"}, {"due", "--routine=perhaps"}, {"due", "--today", "soon"}, {"done"}, {"done", "a", "b"}, {"history", "--before", "x"},
		{"export", at("folder")}, {"export", at("nowhere/x")}, {"backup", at("nowhere/x")}, {"backup", records}, {"backup", "--to", "exit 3"}, {"backup", "--to", "exec 2>/dev/null; nosuchprogram"}, {"calendar", "--out", at("nowhere/x")}, {"calendar", "--out", at("folder")},
		{"serve", "--listen", "127.0.0.1:99999"}, {"serve", "--listen", "localhost:nothing"}, {"serve", "--listen", "unix:" + at("nowhere/x")}, {"serve", "--listen", "unix:" + at("folder")}, {"serve", "--listen", "127.0.0.1:0", "--metrics", "127.0.0.1:x"}, {"serve", "--listen", "127.0.0.1:0", "--base", "http://%zz"},
		{"serve", "--listen", "127.0.0.1:0", "--tls-cert", at("nowhere")}, {"serve", "--listen", "127.0.0.1:0", "--tls-cert", at("bytes"), "--tls-key", at("bytes")}, {"serve", "--listen", "127.0.0.1:0", "--backup-at", "x", "--backup-folder", folder},
	}
	for _, file := range []string{"nowhere", "folder", "text", "bytes", "empty", "list", "object", "half", "colons", "tab", "quote", "anchor", "cut.db", "records.db"} {
		wrong = append(wrong, []string{"setup", at(file), "--data", at("new.db")}, []string{"use", "import", at(file)}, []string{"import", at(file), "--data", at("new.db")},
			[]string{"water", "table", at(file)}, []string{"score", "--merge", at(file)})
		if file != "records.db" {
			wrong = append(wrong, []string{"restore", at(file)})
		}
	}
	for _, args := range wrong {
		command := strings.Join(args, " ")
		if !strings.Contains(command, "--data") {
			args = append(args, "--data", records)
		}
		told := said(args...)
		plain := strings.ReplaceAll(strings.ReplaceAll(told, folder, ""), "limekeep-backup-", "")
		switch {
		case told == "":
			t.Errorf("%s is taken", command)
		case notOurs.MatchString(plain):
			t.Errorf("%s is told: %s (%q)", command, told, notOurs.FindString(plain))
		}
	}
	// A calendar of the owner's is told of in the answer, since the plan goes on without it.
	for _, file := range []string{"nowhere", "folder", "calendar.ics"} {
		var out bytes.Buffer
		root := newRoot()
		root.SetArgs([]string{"plan", "--data", records, "--busy", at(file)})
		root.SetOut(&out)
		if err := root.ExecuteContext(t.Context()); err != nil {
			t.Errorf("%s stops the plan: %v", file, err)
		}
		_, told, _ := strings.Cut(out.String(), "Your own calendar could not be read")
		told, _, _ = strings.Cut(told, ").")
		if plain := strings.ReplaceAll(strings.Join(strings.Fields(told), " "), folder, ""); told == "" || notOurs.MatchString(plain) {
			t.Errorf("the calendar %s is told of as %q", file, plain)
		}
	}
	for _, raw := range []string{"open x: no such file or directory", "unexpected EOF", `strconv.ParseInt: parsing "x": invalid syntax`, "SQL logic error", "yaml: line 1"} { // the test could fail
		if !notOurs.MatchString(raw) {
			t.Errorf("%q passes for ours", raw)
		}
	}
}
