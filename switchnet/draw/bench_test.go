package draw

import (
	"io"
	"testing"

	"example.com/switchleg/switchnet"
)

// BenchmarkBoxes draws and writes the picture of every box of a chain of 200 places.
func BenchmarkBoxes(b *testing.B) {
	w, _ := long(b, 200)
	b.ReportAllocs()
	for b.Loop() {
		d := New(w)
		for _, box := range d.spec.Boxes {
			p, err := d.Box(box.Name, nil)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := p.WriteTo(io.Discard); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkRuns draws the run plan of a chain of 200 places, and BenchmarkChain its
// circuit.
func BenchmarkRuns(b *testing.B) {
	w, _ := long(b, 200)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := New(w).Runs(nil); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChain(b *testing.B) {
	w, g := long(b, 200)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := New(w).Chain(g, switchnet.State{}, nil); err != nil {
			b.Fatal(err)
		}
	}
}
