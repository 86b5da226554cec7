package trace

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/switchleg/switchnet"
)

// A Proof is the readings to take with everything dead that expose what the lights do
// not betray.
type Proof struct {
	Checks []Check
	// Effort is what all of them take, one after the other.
	Effort time.Duration
	// Fewest reports that no fewer checks do: of one reading for all that one reading
	// exposes, and of two for the rest.
	Fewest bool
	// Hidden are the classes that no such reading exposes, in their order.
	Hidden []Class
}

// A Check is one reading of a proof.
type Check struct {
	// Test is the reading, with what has to be done before it. How the handles stand
	// does not matter, but for Both.
	Test Test
	// Both is a switch that has to be moved for a second reading of the same; unset if
	// one reading is enough.
	Both switchnet.Ref
	// Want is what a sound job gives; of a check with two readings it is unset, and
	// Wants are the pairs that a sound job may give, in order.
	Want  Path
	Wants [][2]Path
	// Exposes are the classes that this check exposes and none before it does, in
	// their order.
	Exposes []Class
}

// Prove returns readings with everything dead that between them expose every class that
// no flip shows, Walk.Unseen. In a sound job each has one outcome, however the handles
// stand and were mounted; with one of the faults that it exposes it has another.
//
// There are as few as possible if Fewest is set, which is found by striking out readings
// and faults that others cover and then, among what is left, by trying; where that takes
// more than 50,000 tries it is the best that was found, at worst the reading that exposes
// most and then again. The readings are in the order of boxes, those with the neutrals lifted last. A
// context that ends is an error, and so are options that leave out dead tests.
func (c *Case) Prove(ctx context.Context) (Proof, error) {
	if c.opt.NoDead {
		return Proof{}, Errors{{"Options.NoDead", "leaves out the tests that a proof is made of"}}
	}
	classes := []int{c.sound}
	for i := range c.classes {
		if k := &c.classes[i]; !k.Seen && !k.Sound {
			classes = append(classes, i)
		}
	}
	tables, err := c.deadTables(ctx, classes)
	if err != nil {
		return Proof{}, err
	}
	// What one reading exposes takes one; a handle is moved for the rest.
	columns := c.columns(tables, false)
	chosen, fewest, err := cover(ctx, columns, len(classes)-1)
	if err != nil {
		return Proof{}, err
	}
	single := make([]bool, len(classes))
	for _, x := range columns {
		for _, k := range x.rows {
			single[k] = true
		}
	}
	first := len(columns)
	for _, x := range c.columns(tables, true) {
		x.rows = slices.DeleteFunc(x.rows, func(k int) bool { return single[k] })
		if len(x.rows) > 0 {
			columns = append(columns, x)
		}
	}
	more, fewest2, err := cover(ctx, columns[first:], len(classes)-1)
	if err != nil {
		return Proof{}, err
	}
	fewest = fewest && fewest2
	for _, i := range more {
		chosen = append(chosen, first+i)
	}
	out := Proof{Fewest: fewest}
	slices.SortFunc(chosen, func(a, b int) int {
		return cmp.Or(cmp.Compare(columns[a].lifted, columns[b].lifted), cmp.Compare(columns[a].pair, columns[b].pair))
	})
	s := c.Session()
	exposed := make([]bool, len(classes))
	for _, i := range chosen {
		x := &columns[i]
		check, err := s.check(x)
		if err != nil {
			return Proof{}, err
		}
		for _, k := range x.rows {
			if !exposed[k] {
				exposed[k] = true
				check.Exposes = append(check.Exposes, c.classes[classes[k+1]].Class)
			}
		}
		out.Effort += check.Test.Effort
		out.Checks = append(out.Checks, check)
	}
	for k, i := range classes[1:] {
		if !exposed[k] {
			out.Hidden = append(out.Hidden, c.classes[i].Class)
		}
	}
	return out, nil
}

// column is a reading that may be taken, and what it exposes.
type column struct {
	station, pair, lifted int
	both                  int // the switch that is moved for a second one, -1 for none
	want                  Path
	wants                 [][2]Path
	rows                  []int // classes that it exposes, by their place in what is asked
	cost                  time.Duration
}

// columns returns the single readings that expose anything, or those that take a handle
// moved and a second one; the cheapest first.
func (c *Case) columns(tables []table, twice bool) []column {
	from, to := -1, 0
	if twice {
		from, to = 0, len(c.f.sp.switches)
	}
	var out []column
	for si, st := range c.patterns.stations {
		for j := range st.pairs {
			for k := range 2 {
				sound := tables[0][k][st.first+j]
				for both := from; both < to; both++ {
					x := column{station: si, pair: st.first + j, lifted: k, both: both}
					if x.wants = c.f.sp.wants(sound, both); x.wants == nil {
						continue
					}
					if both < 0 {
						x.want = x.wants[0][0]
					}
					x.cost = c.travel.effort.Continuity
					if len(st.boxes) == 2 {
						x.cost += c.travel.effort.Lead
					}
					if k == 1 {
						x.cost += c.travel.effort.Lift
					}
					if both >= 0 {
						x.cost += c.travel.effort.Continuity + c.travel.effort.Flip
					}
					for row, t := range tables[1:] {
						if c.f.sp.exposes(t[k][st.first+j], x.wants, both) {
							x.rows = append(x.rows, row)
						}
					}
					if len(x.rows) > 0 {
						out = append(out, x)
					}
				}
			}
		}
	}
	slices.SortStableFunc(out, func(a, b column) int { return cmp.Compare(a.cost, b.cost) })
	return out
}

// wants returns the pairs of readings that a sound job may give, before and after a
// switch is moved, in whichever setting and however handles were mounted; of a single
// reading the same twice. It returns nothing if a driver leaves one open, or if a single
// reading may come out in two ways.
func (sp *space) wants(p *pattern, both int) [][2]Path {
	path := [finds]Path{findsOpen: Open, findsThrough: Through, findsJoined: Joined}
	var out [][2]Path
	for y := range p.kinds {
		z := y
		if both >= 0 {
			z = sp.moved(y, both)
		}
		w := [2]Path{path[p.kinds[y]], path[p.kinds[z]]}
		if w[0] == 0 || w[1] == 0 {
			return nil
		}
		if !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	if both < 0 && len(out) > 1 {
		return nil
	}
	slices.SortFunc(out, func(a, b [2]Path) int { return slices.Compare(a[:], b[:]) })
	return out
}

// exposes reports whether a fault never gives what a sound job may.
func (sp *space) exposes(p *pattern, wants [][2]Path, both int) bool {
	if p.one && both >= 0 {
		return !slices.ContainsFunc(wants, func(w [2]Path) bool { return findWeight(p.kinds[0], w[0]) > 0 && findWeight(p.kinds[0], w[1]) > 0 })
	}
	for y := range p.kinds {
		z := y
		if both >= 0 {
			z = sp.moved(y, both)
		}
		for _, w := range wants {
			if findWeight(p.kinds[y], w[0]) > 0 && findWeight(p.kinds[z], w[1]) > 0 {
				return false
			}
		}
	}
	return true
}

// check returns a column as a test that is made next.
func (s *Session) check(x *column) (Check, error) {
	c := s.c
	st := c.patterns.stations[x.station]
	at := c.patterns.pairs[x.pair]
	before, cost := s.toDead(st.boxes, x.lifted == 1)
	e := c.travel.effort
	t := Test{Kind: DeadTest, Box: st.boxes[len(st.boxes)-1], Before: before, At: s.Handles(), setting: s.at, Lifted: x.lifted == 1,
		Between: [2]switchnet.Terminal{c.f.points[at.p], c.f.points[at.q]}, Effort: cost + e.Continuity}
	if len(st.boxes) == 2 {
		t.Effort += e.Lead
	}
	out := Check{Want: x.want}
	if x.both >= 0 {
		out.Wants = x.wants
		out.Both = c.f.sp.switches[x.both]
		t.Effort += e.Flip + e.Continuity + 2*c.travel.trip(t.Box, out.Both.Place)
	}
	for _, a := range before {
		if err := s.Do(a); err != nil {
			return Check{}, err
		}
	}
	s.where = t.Box
	out.Test = t
	return out, nil
}

// Steps returns what to do, in order, in plain sentences with the cautions, and what a
// sound job gives. The sentences are for reading and not stable.
func (x Check) Steps() []string {
	out := x.Test.Steps()
	if len(out) == 0 {
		return nil
	}
	if x.Want != 0 {
		out[len(out)-1] += " It must find " + foundWords(x.Want) + "."
		return out
	}
	parts := make([]string, len(x.Wants))
	turned := false // the same pair the other way round is wanted too
	for i, w := range x.Wants {
		parts[i] = fmt.Sprintf("%s and then %s", foundWords(w[0]), foundWords(w[1]))
		if w[0] == w[1] {
			parts[i] = foundWords(w[0]) + " both times"
		}
		turned = turned || len(x.Wants) == 2 && w[0] != w[1] && slices.Contains(x.Wants, [2]Path{w[1], w[0]})
	}
	want := strings.Join(parts, ", or ")
	if turned {
		w := x.Wants[0]
		want = fmt.Sprintf("%s in one position of the handle and %s in the other", foundWords(w[0]), foundWords(w[1]))
	}
	return append(out, fmt.Sprintf("Move the handle of %s in %s, and read it again: it must find %s.", x.Both.Name, x.Both.Place, want))
}

// foundWords says what an ohmmeter finds.
func foundWords(p Path) string {
	switch p {
	case Open:
		return "nothing"
	case Through:
		return "a resistance and no metal"
	case Joined:
		return "metal"
	}
	return p.String()
}
