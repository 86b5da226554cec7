package conductor

import (
	"testing"

	"example.com/switchleg/conductor/quantity"
)

func BenchmarkSize(b *testing.B) {
	s := sizerOf(b, usTable(b, "2023"))
	c := lighting("14/2")
	c.Run, c.Ambient, c.Bundle = 80*quantity.Foot, 40*quantity.Celsius, Bundle{Carrying: 6}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Size(c); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkJudge(b *testing.B) {
	s := sizerOf(b, usTable(b, "2023"))
	c := lighting("14/2")
	c.Run, c.Breaker, c.Grounding = 80*quantity.Foot, 15*quantity.Ampere, AWG(14)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Judge(c, AWG(14)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkExplain(b *testing.B) {
	s := sizerOf(b, usTable(b, "2023"))
	c := lighting("14/2")
	c.Run = 80 * quantity.Foot
	z := must(s.Size(c))
	b.ReportAllocs()
	for b.Loop() {
		for _, step := range z.Steps {
			if step.String() == "" {
				b.Fatal("a step without words")
			}
		}
	}
}
