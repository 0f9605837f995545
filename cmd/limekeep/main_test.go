package main

import (
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"limekeep": main,
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
			env.Setenv("LIMEKEEP_WORLDS", "100")
			env.Setenv("LIMEKEEP_EFFORT", "400000")
			return nil
		},
	})
}
