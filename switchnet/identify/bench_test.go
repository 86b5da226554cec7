package identify_test

import (
	"fmt"
	"testing"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// unknown is a chain of boxes with a three-wire between neighbours, a two-wire at each end, and
// no far end known.
func unknown(b *testing.B, places int) *wiring.Wiring {
	var names []string
	for i := range places {
		names = append(names, fmt.Sprintf("place-%d", i+1))
	}
	s := cottage(b, names...)
	enter(b, s, "F", "14/2", names[0], "")
	for i := range places - 1 {
		enter(b, s, fmt.Sprintf("A%d", i), "14/3", names[i], "")
		enter(b, s, fmt.Sprintf("B%d", i), "14/3", names[i+1], "")
	}
	enter(b, s, "L", "14/2", names[places-1], "")
	w, err := wiring.New(*s)
	if err != nil {
		b.Fatal(err)
	}
	return w
}

func BenchmarkNew(b *testing.B) {
	for _, places := range []int{2, 3, 4} {
		b.Run(fmt.Sprintf("places=%d", places), func(b *testing.B) {
			w := unknown(b, places)
			b.ReportAllocs()
			n, unusual := 0, 0
			for b.Loop() {
				c, err := identify.New(b.Context(), w, nil)
				if err != nil {
					b.Fatal(err)
				}
				n, _ = c.Size()
				unusual = c.Unusual()
			}
			b.ReportMetric(float64(n), "possibilities")
			b.ReportMetric(float64(unusual), "unusual")
		})
	}
}

func BenchmarkNext(b *testing.B) {
	for _, places := range []int{2, 3} {
		b.Run(fmt.Sprintf("places=%d", places), func(b *testing.B) {
			c, err := identify.New(b.Context(), unknown(b, places), nil)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				// A new session each time: an old one remembers what it worked out.
				a, err := c.Session().Next(b.Context())
				if err != nil || a.Status != trace.Searching {
					b.Fatal(a.Status, err)
				}
			}
		})
	}
}

func BenchmarkIn(b *testing.B) {
	c, err := identify.New(b.Context(), unknown(b, 2), nil)
	if err != nil {
		b.Fatal(err)
	}
	s := c.Session()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.In("place-1"); err != nil {
			b.Fatal(err)
		}
	}
}
