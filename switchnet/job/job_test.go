package job_test

import (
	"bytes"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// kept are the regions that were loaded, so that not every test reads them again.
var kept sync.Map

// options are the defaults with regions kept.
func options() *job.Options {
	return &job.Options{Region: func(id string) (*rules.Region, error) {
		if r, ok := kept.Load(id); ok {
			return r.(*rules.Region), nil
		}
		r, err := rules.Load(id)
		if err == nil {
			kept.Store(id, r)
		}
		return r, err
	}}
}

func parse(t testing.TB, name string, src []byte) *job.File {
	t.Helper()
	f, err := job.Parse(name, src, options())
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestShed(t *testing.T) {
	f, err := job.Parse(demo.ShedWiredName, demo.ShedWired(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if !f.HasIntent() || !f.HasWiring() || f.Region == nil || f.Region.ID != "us-2023" {
		t.Error("the shed's file has both halves and a region")
	}
	if _, err := wiring.New(f.Wiring); err != nil {
		t.Error(err)
	}
}

// roundTrip checks that a file that parses is the same after Format and after
// Marshal, and that both are fixed points.
func roundTrip(t testing.TB, name string, src []byte) {
	t.Helper()
	f, err := job.Parse(name, src, options())
	if err != nil {
		return
	}
	out, err := job.Format(name, src, options())
	if err != nil {
		t.Fatalf("parses and is not formatted: %v", err)
	}
	if g := parse(t, "formatted", out); !f.Equal(g) {
		t.Errorf("formatted, it says something else:\n%s", out)
	}
	if again, err := job.Format(name, out, options()); err != nil || !bytes.Equal(again, out) {
		t.Errorf("formatting twice changes it: %v\n%s\nbecomes\n%s", err, out, again)
	}
	written, err := job.Marshal(f, options())
	if err != nil {
		t.Fatalf("parses and is not written: %v", err)
	}
	g := parse(t, "written", written)
	if !f.Equal(g) {
		t.Errorf("written, it says something else:\n%s", written)
	}
	if again, err := job.Marshal(g, options()); err != nil || !bytes.Equal(again, written) {
		t.Errorf("writing twice changes it: %v\n%s\nbecomes\n%s", err, written, again)
	}
}

func TestRoundTrip(t *testing.T) {
	files, err := filepath.Glob("testdata/cases/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(files, "testdata/canonical.yaml", "../../internal/demo/shed.yaml", "../../internal/demo/shed-wired.yaml") {
		t.Run(filepath.Base(name), func(t *testing.T) {
			src, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			parse(t, name, src)
			roundTrip(t, name, src)
		})
	}
}

func TestCanonicalIsFormatted(t *testing.T) {
	src, err := os.ReadFile("testdata/canonical.yaml")
	if err != nil {
		t.Fatal(err)
	}
	out, err := job.Format("canonical.yaml", src, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(out, src) {
		t.Errorf("Format changes it to\n%s", out)
	}
}
