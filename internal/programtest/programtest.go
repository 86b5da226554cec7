// Package programtest tests the project's programs by script, as a person runs them.
// The flag -update of package golden rewrites the outputs in the scripts.
package programtest

import (
	"errors"
	"os"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"example.com/switchleg/internal/golden"
)

// Main runs the tests of a program, whose scripts may call it by its name.
func Main(m *testing.M, name string, main func()) {
	testscript.Main(m, map[string]func(){name: main})
}

// Scripts runs the scripts in testdata/script. Beside what package testscript knows
// they may say "status N command arguments", which wants that exit status. Files, by
// name, are laid beside those that a script has itself.
func Scripts(t *testing.T, files map[string]string) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       golden.Updating(),
		RequireExplicitExec: true,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"status": status},
		Setup: func(env *testscript.Env) error {
			for name, text := range files {
				if err := os.WriteFile(env.WorkDir+"/"+name, []byte(text), 0o644); err != nil {
					return err
				}
			}
			return nil
		},
	})
}

// status runs a command and wants an exit status.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N command [args]")
	}
	got := 0
	var exit *exec.ExitError
	switch err := ts.Exec(args[1], args[2:]...); {
	case errors.As(err, &exit):
		got = exit.ExitCode()
	case err != nil:
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(got) != args[0] {
		ts.Fatalf("exit status %d, want %s\n%s%s", got, args[0], ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
}
