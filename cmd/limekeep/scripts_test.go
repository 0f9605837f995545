package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"limekeep/store/testserver"
)

// TestScripts runs the commands the way a person would, each script in an empty
// folder of its own with its own home.
//
// Starting the program some six hundred times takes longer than what it is asked. So the
// commands of a script are run by one process that goes on (oneAfterAnother), but for those
// of the scripts in startedAnew, those that are given something to read, and all of them in
// the long form.
func TestScripts(t *testing.T) {
	if testing.Short() {
		t.Skip("it runs some six hundred commands; make test does")
	}
	folder := filepath.Join("testdata", "script")
	var set []string
	if os.Getenv("LIMEKEEP_SOAK") == "" {
		folder, set = inOneProcess(t, folder)
	}
	testscript.Run(t, testscript.Params{
		Dir: folder,
		Setup: func(env *testscript.Env) error {
			env.Setenv("HOME", env.WorkDir)
			env.Setenv("XDG_DATA_HOME", env.WorkDir+"/data")
			env.Setenv("XDG_CONFIG_HOME", env.WorkDir+"/config")
			env.Setenv("LIMEKEEP_WORLDS", "20")
			env.Setenv("LIMEKEEP_EFFORT", "20000")
			env.Setenv("LIMEKEEP_MONTHS", "9")
			env.Values[oneAfterAnotherName] = &oneAfterAnother{variables: append(slices.Clone(set), variableNames(env.Vars)...)}
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"database": newDatabase,
			"in-one-process": func(ts *testscript.TestScript, neg bool, args []string) {
				ts.Value(oneAfterAnotherName).(*oneAfterAnother).command(ts, neg, args)
			},
		},
	})
}

// newDatabase is a command of the scripts: it makes an empty database on a PostgreSQL
// server of the tests, and sets a variable to its address.
func newDatabase(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: database VARIABLE")
	}
	server, err := testserver.Start()
	ts.Check(err)
	address, err := server.NewDatabase("template0")
	ts.Check(err)
	ts.Setenv(args[0], address)
}

// startedAnew are the scripts each of whose commands is a process of its own: somebody's
// first day, what the next command must find in the file since it is nowhere else, and what
// is one to a process, the local zone and the terminal.
var startedAnew = []string{"firstday.txtar", "keeping.txtar", "answers.txtar", "demo.txtar", "newfile.txtar"}

var (
	startsProgram = regexp.MustCompile(`(?m)^(! )?exec limekeep\b`)
	givenToRead   = regexp.MustCompile(`(?m)^stdin .*\n(! )?in-one-process\b`)
	setsVariable  = regexp.MustCompile(`(?m)^env (\w+)=`)
)

// inOneProcess returns a folder with the scripts of another, in which one process runs the
// commands of a script, and the variables that they set. Lines keep their numbers.
func inOneProcess(t *testing.T, from string) (to string, set []string) {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(from, "*.txtar"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no scripts in %s: %v", from, err)
	}
	to = t.TempDir()
	changed := 0
	for _, name := range names {
		script, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if base := filepath.Base(name); !slices.Contains(startedAnew, base) {
			script = startsProgram.ReplaceAll(script, []byte("${1}in-one-process"))
			script = givenToRead.ReplaceAllFunc(script, func(lines []byte) []byte {
				return bytes.Replace(lines, []byte("in-one-process"), []byte("exec limekeep"), 1)
			})
			changed += bytes.Count(script, []byte("in-one-process"))
		}
		for _, found := range setsVariable.FindAllSubmatch(script, -1) {
			set = append(set, string(found[1]))
		}
		if err := os.WriteFile(filepath.Join(to, filepath.Base(name)), script, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if changed < 100 {
		t.Fatalf("only %d commands of %d scripts would be run by one process each", changed, len(names))
	}
	return to, set
}

// oneAfterAnother runs the commands of a script in one process, which starts with the first.
type oneAfterAnother struct {
	variables []string // names of those that a script may have
	ask       *json.Encoder
	answer    *json.Decoder
	said      bytes.Buffer // by a process that ended unasked
}

const oneAfterAnotherName = "limekeep-commands"

// commandAsked is a command with where it is run, and commandAnswered what came of it.
type (
	commandAsked struct {
		Args   []string
		Folder string
		Env    []string
	}
	commandAnswered struct {
		Status      int
		Out, Errors string
	}
)

// command is the command of the scripts that runs the program.
func (o *oneAfterAnother) command(ts *testscript.TestScript, neg bool, args []string) {
	if o.ask == nil {
		o.start(ts)
	}
	var answered commandAnswered
	asked := commandAsked{Args: args, Folder: ts.MkAbs("."), Env: o.environment(ts)}
	if err := o.ask.Encode(asked); err != nil {
		ts.Fatalf("limekeep %q: %v\n%s", args, err, o.said.String())
	}
	if err := o.answer.Decode(&answered); err != nil {
		ts.Fatalf("limekeep %q ended the process: %v\n%s", args, err, o.said.String())
	}
	_, err := io.WriteString(ts.Stdout(), answered.Out)
	ts.Check(err)
	_, err = io.WriteString(ts.Stderr(), answered.Errors)
	ts.Check(err)
	if failed := answered.Status != 0; failed != neg {
		ts.Fatalf("limekeep %q ended with status %d\n%s%s", args, answered.Status, answered.Out, answered.Errors)
	}
}

func (o *oneAfterAnother) start(ts *testscript.TestScript) {
	program, err := exec.LookPath(oneAfterAnotherName)
	ts.Check(err)
	process := exec.Command(program) //nolint:noctx // it ends with its input
	in, err := process.StdinPipe()
	ts.Check(err)
	out, err := process.StdoutPipe()
	ts.Check(err)
	process.Stderr = &o.said
	ts.Check(process.Start())
	ts.Defer(func() {
		_ = in.Close()
		_ = process.Wait()
	})
	o.ask, o.answer = json.NewEncoder(in), json.NewDecoder(out)
}

// environment returns the variables of a script as they stand.
func (o *oneAfterAnother) environment(ts *testscript.TestScript) []string {
	all := map[string]bool{"PWD=" + ts.MkAbs("."): true}
	for _, name := range o.variables {
		all[name+"="+ts.Getenv(name)] = true
	}
	return slices.Collect(maps.Keys(all))
}

// variableNames returns the names of variables.
func variableNames(variables []string) []string {
	all := make([]string, len(variables))
	for i, v := range variables {
		all[i], _, _ = strings.Cut(v, "=")
	}
	return all
}

// runOneAfterAnother is the process: it runs what it is asked for until nothing more is.
func runOneAfterAnother() {
	questions, answers := json.NewDecoder(os.Stdin), json.NewEncoder(os.Stdout)
	for {
		var asked commandAsked
		if err := questions.Decode(&asked); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			panic(err)
		}
		if err := answers.Encode(asked.run()); err != nil {
			panic(err)
		}
	}
}

// run runs a command as if the process were its own: with its variables, in its folder, with
// nothing to read and files to write to.
func (a commandAsked) run() commandAnswered {
	os.Clearenv()
	for _, v := range a.Env {
		name, value, _ := strings.Cut(v, "=")
		must(os.Setenv(name, value))
	}
	must(os.Chdir(a.Folder))
	nothing, err := os.Open(os.DevNull)
	must(err)
	defer nothing.Close()
	out, errs := scratch(), scratch()
	os.Args, os.Stdin, os.Stdout, os.Stderr = append([]string{"limekeep"}, a.Args...), nothing, out, errs
	status := run()
	return commandAnswered{Status: status, Out: whole(out), Errors: whole(errs)}
}

func must(err error) {
	if err != nil {
		panic(err)
	}
}

// scratch returns a file to write to, which nobody else sees.
func scratch() *os.File {
	file, err := os.CreateTemp("", "limekeep-said-")
	must(err)
	must(os.Remove(file.Name()))
	return file
}

// whole returns what was written to a file.
func whole(file *os.File) string {
	defer file.Close()
	_, err := file.Seek(0, io.SeekStart)
	must(err)
	text, err := io.ReadAll(file)
	must(err)
	return string(text)
}
