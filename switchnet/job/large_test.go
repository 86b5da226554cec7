package job_test

import (
	"bytes"
	"errors"
	"fmt"
	"runtime"
	"testing"

	"example.com/switchleg/switchnet/job"
)

// large is a job of n boxes in a row: a chain of as many places, with its runs and
// its wiring.
func large(n int) []byte {
	var b bytes.Buffer
	b.WriteString("format: 1\nrules: us-2023\nfeeds:\n  - {name: lights, box: b0, breaker: 15 A}\nboxes:\n  - {name: b0, kind: panel}\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: b%d, kind: device}\n", i+1)
	}
	fmt.Fprintf(&b, "lights:\n  - {name: lamp, box: b%d, load: 18 W}\nruns:\n", n)
	for i := range n {
		fmt.Fprintf(&b, "  - {from: b%d, to: b%d, length: 10 ft}\n", i, i+1)
	}
	b.WriteString("controls:\n  - name: aisle\n    lights: [lamp]\n    places:\n")
	for i := range n {
		fmt.Fprintf(&b, "      - b%d\n", i+1)
	}
	b.WriteString("cables:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: c%d, type: 14/3, from: b%d, to: b%d}\n", i, i, i+1)
	}
	b.WriteString("devices:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: aisle, box: b%d, kind: four-way}\n", i+1)
	}
	b.WriteString("splices:\n")
	for i := 1; i < n; i++ {
		fmt.Fprintf(&b, "  - {box: b%d, join: [c%d.white, c%d.white]}\n  - {box: b%d, join: [c%d.bare, c%d.bare, aisle.ground]}\n", i, i-1, i, i, i-1, i)
	}
	b.WriteString("landings:\n")
	for i := 1; i < n; i++ {
		for k, end := range []string{"pair 1 first, wire: c%d.black", "pair 1 second, wire: c%d.red", "pair 2 first, wire: c%d.black", "pair 2 second, wire: c%d.red"} {
			fmt.Fprintf(&b, "  - {box: b%d, device: aisle, terminal: "+end+"}\n", i, i-1+k/2)
		}
	}
	return b.Bytes()
}

const roomy = 1 << 30

// A job of 100,000 boxes is read, within limits that the caller raises.
func TestHundredThousandBoxes(t *testing.T) {
	const n = 100_000
	var b bytes.Buffer
	b.WriteString("format: 1\nrules: us-2023\nboxes:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: b%d, kind: device}\n", i)
	}
	if _, err := job.Parse("large.yaml", b.Bytes(), options()); err == nil {
		t.Error("a file above the default limit was read")
	}
	opt := options()
	opt.MaxBytes = roomy
	f, err := job.Parse("large.yaml", b.Bytes(), opt)
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Intent.Boxes) != n {
		t.Errorf("%d boxes", len(f.Intent.Boxes))
	}
}

// As many mistakes as there are boxes are counted, and the first are listed.
func TestManyMistakes(t *testing.T) {
	const n = 10_000
	var b bytes.Buffer
	b.WriteString("format: 1\nrules: us-2023\nboxes:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: box%d, kind: device}\n", i)
	}
	b.WriteString("lights:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: lamp, box: box%d}\n", i)
	}
	b.WriteString("controls: [{name: c, lights: [lamp], places: [box1]}]\ndevices:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: d, box: bx%d, kind: three-way}\n", i)
	}
	b.WriteString("splices:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {box: box%d, join: [c.red, e.common]}\n", i)
	}
	opt := options()
	opt.MaxBytes = roomy
	_, err := job.Parse("large.yaml", b.Bytes(), opt)
	var errs *job.Errors
	if !errors.As(err, &errs) {
		t.Fatal(err)
	}
	if len(errs.List) != 50 || errs.More != 4*n-1-50 {
		t.Errorf("%d problems listed and %d more", len(errs.List), errs.More)
	}
}

// Many devices of one large kind: what is held of the kind is held once.
func TestManyDevicesOfALargeKind(t *testing.T) {
	var b bytes.Buffer
	b.WriteString("format: 1\nrules: us-2023\nkinds:\n  - name: k\n    terminals: [")
	for i := range 64 {
		fmt.Fprintf(&b, "t%d, ", i)
	}
	b.WriteString("]\n    positions:\n")
	for i := range 255 {
		fmt.Fprintf(&b, "      - {name: p%d, joins: [", i)
		for k := range 32 {
			fmt.Fprintf(&b, "[t%d, t%d], ", 2*k, 2*k+1)
		}
		b.WriteString("]}\n")
	}
	b.WriteString("boxes: [{name: b, kind: junction}]\ndevices:\n")
	const n = 4000
	for i := range n {
		fmt.Fprintf(&b, "  - {name: d%d, box: b, kind: k}\n", i)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f, err := job.Parse("large.yaml", b.Bytes(), options())
	if err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	// A copy of the kind for each device would take 2 GB.
	if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 500 {
		t.Errorf("reading took %d MB", mb)
	}
	if len(f.Wiring.Devices) != n || !f.Equal(f) {
		t.Error("it is not what was written")
	}
}

func BenchmarkParse(b *testing.B) {
	for _, n := range []int{100, 1000, 10_000, 100_000} {
		src := large(n)
		opt := options()
		opt.MaxBytes = roomy
		b.Run(fmt.Sprintf("boxes=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(src)))
			for b.Loop() {
				if _, err := job.Parse("large.yaml", src, opt); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkMarshal(b *testing.B) {
	for _, n := range []int{100, 1000, 10_000} {
		opt := options()
		opt.MaxBytes = roomy
		f, err := job.Parse("large.yaml", large(n), opt)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("boxes=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := job.Marshal(f, opt); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
