package identify_test

import (
	"bytes"
	"fmt"
	"testing"
	"text/tabwriter"
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
)

// TestEffort keeps what it takes to find out about each row of the catalogue, answered
// truthfully, in working time and in walks from box to box: until the likeliest class has
// 99 %, and until nothing more can be told; beside what it takes to look into every box,
// take all apart, ring every pair and read every conductor, in this order.
func TestEffort(t *testing.T) {
	var out bytes.Buffer
	w := tabwriter.NewWriter(&out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "job\tpossibilities\tasks\tlooks\tdead\tlive\twalks\tto 99 %\tin all\tfixed order\tfixed walks\tend")
	all, allFixed := time.Duration(0), time.Duration(0)
	for _, r := range rows {
		d := read(t, r)
		q := d.question()
		opt := r.opt
		c := newCase(t, &q, &opt)
		s := c.Session()
		n, _ := c.Size()
		kinds := map[identify.TestKind]int{}
		walks := 0
		total, sure := time.Duration(0), time.Duration(-1)
		status := trace.Searching
		for {
			if v := s.Verdict(1); sure < 0 && v.Fits[0].Likely >= 99*quantity.Percent {
				sure = total
			}
			a, err := s.Next(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if status = a.Status; status != trace.Searching {
				break
			}
			kinds[a.Test.Kind]++
			total += a.Test.Effort
			walks += a.Test.Walks
			for _, x := range a.Test.Before {
				do(t, s, x.Do, x.Box)
			}
			a.Test.Before = nil
			if err := s.Answer(a.Test, d.answer(s, a.Test), 0); err != nil {
				t.Fatal(err)
			}
		}
		if sure < 0 {
			sure = total
		}
		fixed, fixedWalks := fixedOrder(c)
		fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%d\t%d\t%v\t%v\t%v\t%d\t%v\n", r.name, n, kinds[identify.AskObeys], kinds[identify.LookInBox], kinds[identify.DeadTest], kinds[identify.LiveReading], walks, sure, total, fixed, fixedWalks, status)
		if walks > fixedWalks || sure > fixed {
			t.Errorf("%s: %d walks and %v, and %d and %v in the fixed order", r.name, walks, sure, fixedWalks, fixed)
		}
		all, allFixed = all+sure, allFixed+fixed
	}
	if 2*all > allFixed {
		t.Errorf("%v to be 99 %% sure of all, and %v in the fixed order", all, allFixed)
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	golden.Compare(t, "testdata/effort.txt", out.Bytes())
}

// fixedOrder returns the time and the walks that the fixed order takes.
func fixedOrder(c *identify.Case) (time.Duration, int) {
	e := trace.DefaultEffort()
	boxes, ends := c.Open(), c.Ends()
	sum, walks := e.LockOut, 0
	to := func() { walks++; sum += e.Walk }
	count := map[string]int{}
	for _, x := range ends {
		count[x.Box]++
	}
	for i, b := range boxes {
		if i > 0 {
			to()
		}
		n := count[b]
		sum += e.ProveDead + e.Look + e.Open + time.Duration(n*(n-1)/2)*e.Continuity
	}
	// A long lead from each box to each later one, left on an end, every end there tried,
	// and back for the next one.
	for i := range boxes {
		for j := i + 1; j < len(boxes); j++ {
			for range 2*count[boxes[i]] - 1 {
				to()
			}
			sum += e.Lead + time.Duration(count[boxes[i]]*count[boxes[j]])*e.Continuity
		}
	}
	sum += e.Continuity + e.Energize + e.Prove // the leads off first
	for i, b := range boxes {
		if i > 0 {
			to()
		}
		sum += time.Duration(count[b]) * e.Reading
	}
	return sum, walks
}
