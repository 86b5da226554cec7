package check_test

import (
	"context"
	"fmt"
	"testing"

	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/wiring"
)

func BenchmarkSafety(b *testing.B) {
	for _, places := range []int{2, 6} {
		f, j := chain(b, places)
		suite := check.Safety(f.Region)
		b.Run(fmt.Sprintf("chain/%d", places), func(b *testing.B) { bench(b, j, suite) })
	}
	f, j := shed(b)
	suite := check.Safety(f.Region)
	b.Run("shed", func(b *testing.B) { bench(b, j, suite) })
	long := longChain(b, 1000)
	b.Run("chain/1000", func(b *testing.B) { bench(b, long, suite) })
}

// BenchmarkFixes looks for the fixes of a chain of 50 places in which every place gets a
// finding, with the pairs mixed in one place, and in two that no one step cures together.
func BenchmarkFixes(b *testing.B) {
	region, err := region("us-2023")
	if err != nil {
		b.Fatal(err)
	}
	suite := check.Everything(region)
	j := longChain(b, 50)
	for _, n := range []int{1, 2} {
		at := 20 * n
		j.Wiring, err = j.Wiring.Apply(wiring.SwapLandings{Box: fmt.Sprintf("place %04d", at),
			A: wiring.Wire{Cable: fmt.Sprintf("C%04d", at), Conductor: "red"}, B: wiring.Wire{Cable: fmt.Sprintf("C%04d", at+1), Conductor: "black"}})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("mixed/%d", n), func(b *testing.B) { bench(b, j, suite) })
	}
}

func bench(b *testing.B, j check.Job, suite check.Suite) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := check.Run(context.Background(), j, suite, nil); err != nil {
			b.Fatal(err)
		}
	}
}
