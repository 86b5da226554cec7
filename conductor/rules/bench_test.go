package rules_test

import (
	"testing"

	"example.com/switchleg/conductor/rules"
)

// BenchmarkLoad is what a program pays once for a region: us-2017 reads two
// files.
func BenchmarkLoad(b *testing.B) {
	for _, id := range []string{"uk-2018", "us-2017", "us-2023"} {
		b.Run(id, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := rules.Load(id); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
