package check_test

import (
	"context"
	"fmt"
	"testing"

	"example.com/switchleg/switchnet/check"
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

func bench(b *testing.B, j check.Job, suite check.Suite) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := check.Run(context.Background(), j, suite, nil); err != nil {
			b.Fatal(err)
		}
	}
}
