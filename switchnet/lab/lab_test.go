package lab_test

import (
	"context"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/lab"
)

func BenchmarkMake(b *testing.B) {
	region, err := rules.Load("us-2023")
	if err != nil {
		b.Fatal(err)
	}
	base, err := lab.Generate(lab.Recipe{Region: region})
	if err != nil {
		b.Fatal(err)
	}
	for _, task := range lab.Tasks() {
		b.Run(task.Name(), func(b *testing.B) {
			b.ReportAllocs()
			seed := lab.Seed(0)
			for b.Loop() {
				seed++
				x, err := task.Make(context.Background(), base, seed, lab.Band{})
				if err != nil {
					b.Fatal(err)
				}
				_ = x.Sheet()
			}
		})
	}
}
