package draw_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/draw"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/wiring"
)

// read returns a job of the demo with its wiring and the groups of its controls.
func read(t testing.TB, name string, src []byte) (*wiring.Wiring, []draw.Group) {
	t.Helper()
	f, err := job.Parse(name, src, nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		t.Fatal(err)
	}
	var groups []draw.Group
	for _, c := range f.Intent.Controls {
		g := draw.Group{Name: c.Name}
		g.Switches, _ = c.Switches(w)
		for _, name := range c.Lights {
			for _, l := range f.Wiring.Lights {
				if l.Name == name {
					g.Lights = append(g.Lights, switchnet.Ref{Place: l.Box, Name: name})
				}
			}
		}
		groups = append(groups, g)
	}
	return w, groups
}

// TestGolden compares every picture of the two demo jobs with its file, on a page and,
// where the layout differs most, on a phone.
func TestGolden(t *testing.T) {
	for _, j := range []struct {
		dir  string
		src  []byte
		name string
	}{{"shed", demo.ShedWired(), demo.ShedWiredName}, {"cottage", demo.Cottage(), demo.CottageName}} {
		w, groups := read(t, j.name, j.src)
		d := draw.New(w)
		phone := &draw.Options{Width: draw.Phone}
		pictures := map[string]*draw.Picture{}
		add := func(name string, p *draw.Picture, err error) {
			if err != nil {
				t.Fatal(err)
			}
			pictures[name+".svg"] = p
		}
		p, err := d.Runs(nil)
		add("runs", p, err)
		p, err = d.Runs(phone)
		add("runs-phone", p, err)
		for _, b := range w.Spec().Boxes {
			p, err := d.Box(b.Name, nil)
			add("box-"+b.Name, p, err)
			if b.Gangs == 2 {
				p, err := d.Box(b.Name, phone)
				add("box-"+b.Name+"-phone", p, err)
			}
		}
		for _, g := range groups {
			p, err := d.Chain(g, switchnet.State{}, nil)
			add("chain-"+g.Name, p, err)
			p, err = d.Chain(g, switchnet.State{}, phone)
			add("chain-"+g.Name+"-phone", p, err)
			p, err = d.Truth(context.Background(), g, phone)
			add("truth-"+g.Name, p, err)
		}
		for name, p := range pictures {
			most := draw.Page
			if strings.Contains(name, "phone") || strings.HasPrefix(name, "truth") {
				most = draw.Phone
			}
			if width, _ := p.Size(); width > most {
				t.Errorf("%s/%s is %d px wide, more than the %d asked for", j.dir, name, width, most)
			}
		}
		compare(t, filepath.Join("testdata", j.dir), pictures)
	}
}

// compare wants the files of a directory and no others.
func compare(t *testing.T, dir string, pictures map[string]*draw.Picture) {
	t.Helper()
	if golden.Updating() {
		if err := os.RemoveAll(dir); err != nil {
			t.Fatal(err)
		}
		if err := os.MkdirAll(dir, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for name, p := range pictures {
		var b bytes.Buffer
		if _, err := p.WriteTo(&b); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, name)
		golden.Compare(t, file, b.Bytes())
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if pictures[f.Name()] == nil {
			t.Errorf("%s is no picture of the job", filepath.Join(dir, f.Name()))
		}
	}
}
