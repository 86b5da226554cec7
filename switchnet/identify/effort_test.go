package identify_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"text/tabwriter"
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/switchnet"
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
		c := d.weighed(r)
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
		if walks > fixedWalks || total > fixed {
			t.Errorf("%s: %d walks and %v, and %d and %v in the fixed order", r.name, walks, total, fixedWalks, fixed)
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

// TestLeadIsSaid: the steps of a dead test between two boxes say where the long lead is,
// by what was measured before, and the effort reckons with just that.
func TestLeadIsSaid(t *testing.T) {
	e := trace.DefaultEffort()
	seen := map[string]int{}
	for _, r := range rows[:11] {
		d := read(t, r)
		s := d.weighed(r).Session()
		var clip switchnet.Terminal // where the lead was left
		var lies [2]string          // between which boxes
		at := ""                    // the person
		for {
			a, err := s.Next(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if a.Status != trace.Searching {
				break
			}
			x := a.Test
			for _, b := range x.Before {
				if b.Do == identify.TakeLeads {
					at, clip, lies = clip.Place, switchnet.Terminal{}, [2]string{}
				}
			}
			from, to := x.Between[0].Place, x.Between[1].Place
			if x.Kind == identify.DeadTest && from != to && len(x.Before) == 0 && len(x.Tied) == 0 {
				walk := func(a, b string) time.Duration {
					if a == "" || a == b {
						return 0
					}
					return e.Walk
				}
				says, want := "lay a long lead", e.Lead+walk(at, from)+e.Walk+e.Continuity
				switch between := lies == [2]string{from, to} || lies == [2]string{to, from}; {
				case between && clip == x.Between[0] && at == to:
					says, want = "with the long lead still on ", e.Continuity
				case between:
					says, want = "put the long lead that lies between these boxes on ", walk(at, from)+e.Walk+e.Continuity
				}
				seen[says]++
				if text := x.Steps()[0]; !strings.Contains(text, says) || x.Effort != want {
					t.Errorf("%s: %q at %v; want %q at %v", r.name, text, x.Effort, says, want)
				}
			}
			for _, b := range x.Before {
				do(t, s, b.Do, b.Box)
				if b.Box != "" {
					at = b.Box
				}
			}
			x.Before = nil
			if err := s.Answer(x, d.answer(s, x), 0); err != nil {
				t.Fatal(err)
			}
			switch x.Kind {
			case identify.DeadTest:
				if at = to; from != to {
					clip, lies = x.Between[0], [2]string{from, to}
				}
			case identify.LookInBox, identify.LiveReading:
				at = x.Box
			}
		}
	}
	if len(seen) != 3 {
		t.Errorf("seen: %v", seen)
	}
}
