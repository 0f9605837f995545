package main

import (
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"limekeep/store/testserver"
)

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

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"limekeep":      main,
		nightWorkerName: nightWorker,
	})
}

// TestScripts runs the commands the way a person would, each script in an empty
// folder of its own with its own home.
func TestScripts(t *testing.T) {
	if testing.Short() {
		t.Skip("it starts the program some hundred times; make test does")
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			env.Setenv("HOME", env.WorkDir)
			env.Setenv("XDG_DATA_HOME", env.WorkDir+"/data")
			env.Setenv("XDG_CONFIG_HOME", env.WorkDir+"/config")
			env.Setenv("LIMEKEEP_WORLDS", "20")
			env.Setenv("LIMEKEEP_EFFORT", "20000")
			env.Setenv("LIMEKEEP_MONTHS", "9")
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"database": newDatabase,
		},
	})
}
