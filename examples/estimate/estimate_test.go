package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/internal/programtest"
	"example.com/switchleg/switchnet/packet"
)

func TestMain(m *testing.M) { programtest.Main(m, "estimate", main) }

// TestScripts runs the program as a person does.
func TestScripts(t *testing.T) {
	programtest.Scripts(t, map[string]string{"shed.yaml": string(demo.Shed()), "shed-wired.yaml": string(demo.ShedWired())})
}

// TestShed holds the table of the boat shed that is built in.
func TestShed(t *testing.T) {
	var out, errs bytes.Buffer
	if code := run(context.Background(), nil, &out, &errs); code != 0 {
		t.Fatalf("exit %d: %s", code, errs.String())
	}
	golden.Compare(t, filepath.Join("testdata", "shed.csv"), out.Bytes())
}

// building writes n job files into a folder, the texts by turns, each with a title of
// its own and so many different lengths of one run.
func building(tb testing.TB, n, lengths int, texts ...func() []byte) string {
	tb.Helper()
	dir := tb.TempDir()
	for i := range n {
		text := string(texts[i%len(texts)]())
		text = strings.Replace(text, "title: Boat shed", fmt.Sprintf("title: Boat shed %d", i), 1)
		text = strings.Replace(text, "length: 14 ft", fmt.Sprintf("length: %d ft", 10+i%lengths), 1)
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("shed-%04d.yaml", i)), []byte(text), 0o644); err != nil {
			tb.Fatal(err)
		}
	}
	return dir
}

// TestSums adds the jobs of a folder up by themselves, one by one.
func TestSums(t *testing.T) {
	dir := building(t, 5, 3, demo.Shed, demo.ShedWired)
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"-jobs", dir, "-json"}, &out, &errs); code != 0 {
		t.Fatalf("exit %d: %s", code, errs.String())
	}
	var got sum
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	pieces, tags := map[string]int{}, 0
	for i := range 5 {
		one := t.TempDir()
		name := fmt.Sprintf("shed-%04d.yaml", i)
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err == nil {
			err = os.WriteFile(filepath.Join(one, name), text, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if code := run(context.Background(), []string{"-jobs", one, "-json"}, &out, &errs); code != 0 {
			t.Fatalf("exit %d: %s", code, errs.String())
		}
		var alone sum
		if err := json.Unmarshal(out.Bytes(), &alone); err != nil {
			t.Fatal(err)
		}
		for _, c := range alone.Sums[0].TakeOff.Cables {
			pieces[c.Type] += c.Pieces
		}
		for _, item := range alone.Sums[0].TakeOff.Items {
			if item.Kind == packet.TagItem {
				tags += item.Count
			}
		}
		if j := got.Jobs[i]; filepath.Base(j.File) != name || j.Title != fmt.Sprintf("Boat shed %d", i) || j.Planned != (i%2 == 0) {
			t.Errorf("job %d is %+v", i, j)
		}
	}
	for _, c := range got.Sums[0].TakeOff.Cables {
		if c.Pieces != pieces[c.Type] {
			t.Errorf("%d pieces of %s, one by one %d", c.Pieces, c.Type, pieces[c.Type])
		}
	}
	for _, item := range got.Sums[0].TakeOff.Items {
		if item.Kind == packet.TagItem && item.Count != tags {
			t.Errorf("%d tags, one by one %d", item.Count, tags)
		}
	}
}

// TestOrder wants the same bytes from one processor and from several.
func TestOrder(t *testing.T) {
	dir := building(t, 12, 4, demo.Shed, demo.ShedWired)
	if err := os.WriteFile(filepath.Join(dir, "shed-0003b.yaml"), []byte("format: 1\ntitel: x\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	answer := func(n int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
		var out, errs bytes.Buffer
		if code := run(context.Background(), []string{"-jobs", dir}, &out, &errs); code != 1 {
			t.Fatalf("exit %d: %s", code, errs.String())
		}
		// How far it is after each second depends on the machine.
		told := strings.SplitAfter(errs.String(), "\n")
		told = slices.DeleteFunc(told, func(l string) bool { return strings.HasSuffix(l, " jobs counted\n") })
		return out.String() + strings.Join(told, "")
	}
	want := answer(1)
	for range 3 {
		if got := answer(8); got != want {
			t.Fatalf("another order:\n%s\n%s", want, got)
		}
	}
}

// TestProgress wants each tick to be told while jobs are counted.
func TestProgress(t *testing.T) {
	ticks, counting := make(chan time.Time), make(chan struct{})
	var errs strings.Builder
	count := func(i int) job {
		if i == 0 {
			close(counting)
			ticks <- time.Time{} // taken while this job is not done
		}
		return job{file: fmt.Sprint(i)}
	}
	jobs, err := all(context.Background(), 3, count, ticks, &errs)
	<-counting
	if err != nil || len(jobs) != 3 || jobs[2].file != "2" {
		t.Errorf("%+v, %v", jobs, err)
	}
	if s := errs.String(); !strings.HasSuffix(s, " of 3 jobs counted\n") || strings.Count(s, "\n") != 1 || strings.HasPrefix(s, "3") {
		t.Errorf("told %q", s)
	}
}

// TestStopped wants an end when the user wants one, and nothing written.
func TestStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	begun := 0
	_, err := all(ctx, 1000, func(i int) job {
		if i == 0 {
			begun++
			cancel()
			<-ctx.Done()
		}
		return job{}
	}, nil, io.Discard)
	if !errors.Is(err, context.Canceled) || begun != 1 {
		t.Errorf("the error is %v", err)
	}
	name := filepath.Join(t.TempDir(), "out.csv")
	var out, errs bytes.Buffer
	if code := run(ctx, []string{"-jobs", building(t, 2, 1, demo.Shed, demo.ShedWired), "-o", name}, &out, &errs); code != 4 || !strings.Contains(errs.String(), "stopped") {
		t.Errorf("exit %d: %s", code, errs.String())
	}
	if _, err := os.Stat(name); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the file: %v", err)
	}
}

func BenchmarkBuilding(b *testing.B) {
	for _, k := range []struct {
		name    string
		text    func() []byte
		lengths int
	}{
		{"wired", demo.ShedWired, 500},
		{"planned, of 20 kinds", demo.Shed, 20}, // as the flats of a building are of a few
		{"planned, each another", demo.Shed, 500},
	} {
		b.Run(k.name, func(b *testing.B) {
			dir := building(b, 500, k.lengths, k.text)
			b.ReportAllocs()
			for b.Loop() {
				var errs bytes.Buffer
				if code := run(context.Background(), []string{"-jobs", dir}, io.Discard, &errs); code != 0 {
					b.Fatalf("exit %d: %s", code, errs.String())
				}
			}
		})
	}
}
