package boxfill_test

import (
	"testing"

	"example.com/switchleg/boxfill"
)

// BenchmarkFill fills the box of crowded, an ordinary switch box.
func BenchmarkFill(b *testing.B) {
	table, contents := us(), crowded()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := boxfill.Fill(table, contents); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFillEverything fills a box with one of nearly everything.
func BenchmarkFillEverything(b *testing.B) {
	table, contents := us(), everything()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := boxfill.Fill(table, contents); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFill100000 fills 100,000 boxes of a fleet of different contents.
func BenchmarkFill100000(b *testing.B) {
	table := us()
	var fleet []boxfill.Contents
	for i := range 100 {
		c := crowded()
		c.Conductors[0].Count = 1 + i%12
		c.Grounds[0].Count = 1 + i%7
		for range i % 3 {
			c.Devices = append(c.Devices, c.Devices[0])
		}
		fleet = append(fleet, c)
	}
	b.ReportAllocs()
	for b.Loop() {
		fits := 0
		for i := range 100_000 {
			r, err := boxfill.Fill(table, fleet[i%len(fleet)])
			if err != nil {
				b.Fatal(err)
			}
			if r.Status.OK() {
				fits++
			}
		}
		if fits == 0 {
			b.Fatal("nothing fits")
		}
	}
}

func BenchmarkPick(b *testing.B) {
	table, contents := us(), crowded()
	stock := table.Stock(1)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := boxfill.Pick(table, stock, contents); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRemedies(b *testing.B) {
	table, contents := us(), crowded()
	options := boxfill.RemedyOptions{Stock: table.Stock(1), Additions: rings(), Cables: []boxfill.Cable{cable("C3", 2)}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := boxfill.Remedies(table, contents, options); err != nil {
			b.Fatal(err)
		}
	}
}
