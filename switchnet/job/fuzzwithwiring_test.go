package job_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
)

// FuzzWithWiring checks on any file that its own wiring can be put into it again, that
// it then says what it said, and that doing so once more changes nothing.
func FuzzWithWiring(f *testing.F) {
	for _, pattern := range []string{"testdata/canonical.yaml", "testdata/cases/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatal(pattern, err)
		}
		for _, name := range files {
			src, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(src)
		}
	}
	f.Add(demo.Shed())
	f.Add(demo.ShedWired())
	for _, src := range []string{
		"title: |\n  cables: none\n  # no comment\ncables: # x\n",
		"'caps': []\n# last\n",
		"boxes: [{name: a, kind: panel}]\n\n# before\ncables: [{name: C, type: 14/2, from: a, to: unknown}] # behind\n# between\ntags:\n# in\n  - {box: a, wire: C.black, says: 'ties: []'}\n",
	} {
		parse(f, "seed", []byte(head+src))
		f.Add([]byte(head + src))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		if len(src) > 1<<16 {
			return
		}
		file, err := job.Parse("fuzz.yaml", src, options())
		if err != nil {
			return
		}
		if _, err := job.Format("fuzz.yaml", src, options()); err != nil {
			return // it has no canonical layout
		}
		out, err := job.WithWiring("fuzz.yaml", src, file.Wiring, options())
		if err != nil {
			t.Fatal(err)
		}
		if !file.Equal(parse(t, "written", out)) {
			t.Fatalf("it reads otherwise:\n%s", out)
		}
		again, err := job.WithWiring("fuzz.yaml", out, file.Wiring, options())
		if err != nil || !bytes.Equal(again, out) {
			t.Fatalf("once more it is another file (%v):\n%s\n%s", err, out, again)
		}
	})
}
