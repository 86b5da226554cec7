package trace_test

import (
	"fmt"
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/miswire"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
)

// TestSignatures holds the table by which a trouble is told from how often the lamp is lit:
// lit/trips, and the places that are masters, which have a position in which nothing that
// the others do matters. At two places a master at one end is one at the other: an AND or
// an OR of two handles is both ways round.
func TestSignatures(t *testing.T) {
	cases := map[int]*trace.Case{}
	for places := 2; places <= 4; places++ {
		cases[places] = newCase(t, chain(t, places), &trace.Options{NoLive: true})
	}
	for _, r := range []struct {
		fault string // begins so
		want  map[int]string
		why   string
	}{
		{"nothing is wrong", map[int]string{2: "2/0 ", 3: "4/0 ", 4: "8/0 "}, "parity"},
		{"hall.traveler 1 and hall.traveler 2 are exchanged in box place-1", map[int]string{2: "2/0 ", 3: "4/0 ", 4: "8/0 "}, "harmless"},
		{"hall.common and hall.traveler 1 are exchanged in box place-1", map[int]string{2: "1/0 12", 3: "2/0 1", 4: "4/0 1"}, "master at that end"},
		{"hall: common does not join traveler 1 when up in box place-1", map[int]string{2: "1/0 12", 3: "2/0 1", 4: "4/0 1"}, "a dead throw: the same"},
		{"hall is a single-pole, line for common, load for traveler 1, nothing for traveler 2 in box place-1", map[int]string{2: "1/0 12", 3: "2/0 1", 4: "4/0 1"}, "the same"},
		{"C1.red is open", map[int]string{2: "1/0 12", 3: "2/0 1", 4: "4/0 1"}, "an open traveler next to the end: the same"},
		{"hall.common and hall.traveler 1 are exchanged in box place-2", map[int]string{2: "1/0 12"}, "at two places the table is that of the other end"},
		{"hall.pair 1 first and hall.pair 2 first are exchanged in box place-2", map[int]string{3: "2/0 2", 4: "4/0 2"}, "pairs mixed: that four-way is master"},
		{"C2.red is open", map[int]string{3: "2/0 3", 4: "4/0 "}, "in the middle section both halves must fit: nobody is master"},
		{"hall is a three-way, common for pair 1 first, traveler 1 for pair 1 second, traveler 2 for pair 2 first, nothing for pair 2 second in box place-2", map[int]string{3: "1/0 123"}, "a three-way in a four-way's place, one of 16 landings of 24"},
		{"hall is a three-way, common for pair 1 first, nothing for pair 1 second, traveler 1 for pair 2 first, traveler 2 for pair 2 second in box place-2", map[int]string{3: "2/0 1"}, "and one of 8"},
		{"hall: common is welded to traveler 1 in box place-1", map[int]string{2: "3/0 12", 3: "6/0 1", 4: "12/0 1"}, "both throws joined: in one position always on"},
		{"hall: pair 1 first is welded to pair 2 first in box place-2", map[int]string{3: "6/0 2", 4: "12/0 2"}, "a welded contact of a four-way"},
		{"hall: pair 1 first does not join pair 2 first when up in box place-2", map[int]string{3: "3/0 ", 4: "6/0 "}, "one contact dead in one position"},
		{"hall: stuck up in box place-2", map[int]string{3: "4/0 ", 4: "8/0 "}, "it never acts, the rest are parity"},
		{"C0.black and C1.black touch in box place-1", map[int]string{2: "3/0 12", 3: "6/0 1", 4: "12/0 1"}, "hot on a traveler"},
		{"C1.black and C1.red touch in box place-1", map[int]string{2: "4/0 12", 3: "8/0 123", 4: "16/0 1234"}, "travelers of a section together: always on"},
		{"C0.white and C1.black touch in box place-1", map[int]string{2: "1/2 1", 3: "2/4 1", 4: "4/8 1"}, "the neutral on a traveler: which switch clears it gives the section"},
		{"C0.black is open", map[int]string{2: "0/0 12", 3: "0/0 123", 4: "0/0 1234"}, "never lit"},
	} {
		for places := 2; places <= 4; places++ {
			want, ok := r.want[places]
			if !ok {
				continue
			}
			c := cases[places]
			n := 0
			for i, k := range c.Classes() {
				hit := false
				for _, x := range k.Causes {
					hit = hit || strings.HasPrefix(x.String(), r.fault)
				}
				if !hit {
					continue
				}
				n++
				lit, trips, of, masters := c.Table(i, 0)
				got := fmt.Sprintf("%d/%d ", lit, trips)
				for _, m := range masters {
					got += fmt.Sprint(m + 1)
				}
				if got != want || of != 1<<places {
					t.Errorf("%d places, %s: %s of %d, want %s (%s)", places, r.fault, got, of, want, r.why)
				}
			}
			if n == 0 {
				t.Errorf("%d places: no class has %q", places, r.fault)
			}
		}
	}
}

// TestReadingSignatures holds the readings that split what lights in one setting of four:
// how many of the two travelers a loaded tester finds hot at each end, over all settings.
func TestReadingSignatures(t *testing.T) {
	w := chain(t, 2)
	for _, r := range []struct {
		fault    string
		atA, atB string // hot travelers, each number that comes up
		why      string
	}{
		{"", "1", "1", "right: exactly one is driven in every setting"},
		{"hall.common and hall.traveler 1 are exchanged in box place-1", "01", "01", "exchange at A: both dead in one position of A, never both hot"},
		{"hall.common and hall.traveler 1 are exchanged in box place-2", "12", "12", "exchange at B: both hot in one position of B, never both dead"},
		{"C1.red is open", "1", "01", "open traveler: right at A, and both dead at B in one position of A"},
		{"hall: common does not join traveler 1 when up in box place-1", "01", "01", "dead throw at A: one is never hot, the common always"},
		{"hall: common does not join traveler 1 when up in box place-2", "1", "1", "dead throw at B: right at both ends"},
	} {
		faults := []miswire.Fault{}
		p := trace.DefaultPriors()
		if r.fault != "" {
			faults, p.Right = append(faults, fault(t, w, r.fault)), 0
		}
		c := newCase(t, w, &trace.Options{Faults: faults, Priors: &p, Known: []switchnet.Ref{place(1), place(2)}})
		// hot asks the session whether the volts contradict the one thing that may be so.
		hot := func(at trace.Setting, box, cable, colour string) bool {
			s := c.Session()
			bare := end(box, "C1", "bare")
			recall(t, s, trace.Reference{At: at, Point: bare, Shown: true},
				trace.Reading{At: at, Red: end(box, cable, colour), Black: bare, Meter: steady.LowImpedance, Shows: 120 * quantity.Volt})
			return verdict(t, s).Status != trace.Contradiction
		}
		count := func(box string) string {
			seen := [3]bool{}
			for _, at := range settings(t, w) {
				n := 0
				for _, colour := range []string{"black", "red"} {
					if hot(at, box, "C1", colour) {
						n++
					}
				}
				seen[n] = true
			}
			out := ""
			for n, ok := range seen {
				if ok {
					out += fmt.Sprint(n)
				}
			}
			return out
		}
		if a, b := count("place-1"), count("place-2"); a != r.atA || b != r.atB {
			t.Errorf("%s: %s hot at A and %s at B, want %s and %s", r.why, a, b, r.atA, r.atB)
		}
		feed := true // the hot at A, wherever it is landed
		for _, at := range settings(t, w) {
			feed = feed && hot(at, "place-1", "C0", "black")
		}
		if !feed {
			t.Errorf("%s: the hot that comes to A is dead in some setting", r.why)
		}
	}
}
