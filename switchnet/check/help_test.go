package check_test

import (
	"context"
	"fmt"
	"os"
	"sync"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// read returns the job of a file and the job to be checked.
func read(tb testing.TB, name string, src []byte) (*job.File, check.Job) {
	tb.Helper()
	f, err := job.Parse(name, src, &job.Options{Region: region})
	if err != nil {
		tb.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		tb.Fatal(err)
	}
	return f, check.Job{Wiring: w, Intent: f.Intent}
}

// regions are the rules that jobs go by, each read once.
var regions sync.Map

func region(id string) (*rules.Region, error) {
	if r, ok := regions.Load(id); ok {
		return r.(*rules.Region), nil
	}
	r, err := rules.Load(id)
	if err == nil {
		regions.Store(id, r)
	}
	return r, err
}

func shed(tb testing.TB) (*job.File, check.Job) {
	tb.Helper()
	return read(tb, demo.ShedWiredName, demo.ShedWired())
}

func chain(tb testing.TB, places int) (*job.File, check.Job) {
	tb.Helper()
	name := fmt.Sprintf("../miswire/testdata/chain-%d.yaml", places)
	src, err := os.ReadFile(name)
	if err != nil {
		tb.Fatal(err)
	}
	return read(tb, name, src)
}

// run checks a job without fixes.
func run(tb testing.TB, j check.Job, suite check.Suite) []check.Finding {
	tb.Helper()
	found, err := check.Run(context.Background(), j, suite, &check.Options{NoFixes: true})
	if err != nil {
		tb.Fatal(err)
	}
	return found
}
