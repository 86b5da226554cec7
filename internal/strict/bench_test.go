package strict_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/internal/strict"
)

// boxes is a file of n lines of ordinary shape.
func boxes(n int) []byte {
	var b strings.Builder
	b.WriteString("boxes:\n")
	for i := range n {
		fmt.Fprintf(&b, "  - {name: box-%d, kind: device, gangs: 2} # by the door\n", i)
	}
	return []byte(b.String())
}

func BenchmarkParse(b *testing.B) {
	for _, n := range []int{10, 1000, 30000} {
		src := boxes(n)
		b.Run(fmt.Sprintf("boxes=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(src)))
			for b.Loop() {
				if _, err := strict.Parse("f.yaml", src, strict.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkFormat(b *testing.B) {
	doc, err := strict.Parse("f.yaml", boxes(1000), strict.Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := doc.Format(); err != nil {
			b.Fatal(err)
		}
	}
}
