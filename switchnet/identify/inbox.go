package identify

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/internal/enum"
	"example.com/switchleg/switchnet/trace"
)

// A Surety says whether something is so under all that remains. The zero Surety is
// unset.
type Surety uint8

// How sure something is.
const (
	Surely   Surety = iota + 1 // under everything that remains
	Possibly                   // under some of it
	Never                      // under none of it
)

var suretyWords = [...]string{"", "surely", "possibly", "never"}

// String returns the word.
func (s Surety) String() string { return enum.Word(suretyWords[:], s, "Surety") }

// MarshalText writes the word; an unset value is an error.
func (s Surety) MarshalText() ([]byte, error) {
	return enum.Marshal("identify", suretyWords[:], s, "surety")
}

// UnmarshalText reads the word.
func (s *Surety) UnmarshalText(text []byte) error {
	return enum.Unmarshal("identify", suretyWords[:], text, "surety", s)
}

// Contents is what is in an open box.
type Contents struct {
	Box string
	// Has says of every role that the job has whether it is in the box when all is wired
	// up, in the order of functions and names. The neutral of a feed is there if any is: one
	// that another feed shares, that is kept apart for some controls, or that somebody
	// joined with the neutral of another feed, is one too.
	Has []Presence
	// Ends are the conductors of the box, and what each may be for.
	Ends []Use
	// Controls says of every control whether an electronic device in this box would find
	// a constant hot of its feed, and a neutral of that same feed in the same cables all the
	// way, so that every cable balances; in name order.
	Controls []Powered
}

// A Presence says whether a role is in a box.
type Presence struct {
	Role   Role
	Is     Surety
	Likely quantity.Ratio
}

// A Powered says whether an electronic device of a control could be powered in a box.
type Powered struct {
	Control string
	Is      Surety
	Likely  quantity.Ratio
}

// String returns "constant hot of stair: possibly (40 %)". The text is for reading and
// not stable.
func (p Presence) String() string { return p.Role.String() + ": " + sureness(p.Is, p.Likely) }

// String returns "hall: surely". The text is for reading and not stable.
func (p Powered) String() string {
	return "power for a control of " + p.Control + ": " + sureness(p.Is, p.Likely)
}

func sureness(s Surety, likely quantity.Ratio) string {
	if s == Possibly {
		return fmt.Sprintf("%v (%s)", s, percent(likely))
	}
	return s.String()
}

// In returns what is in an open box by all that remains. It is about the finished
// wiring: with the boxes apart, a constant hot is live only where it comes from the feed
// by another way. It is no leave to use a conductor: prove what you rely on.
//
// In a contradiction nothing of it is sure, and the shares are those of what is nearest. A
// ground is surely there only if it was proven as a reference in this session; else a
// bare or green conductor, or a metal box, makes it possible. No such box is an error.
// It takes time in proportion to the possibilities.
func (s *Session) In(box string) (Contents, error) {
	sp := s.c.sp
	at, ok := slices.BinarySearch(sp.open, box)
	if !ok {
		return Contents{}, trace.Errors{{Where: "In", Detail: fmt.Sprintf("%q is not an open box", box)}}
	}
	out := Contents{Box: box}
	left, status := s.left()
	roles := s.c.roles()
	feeds := make([]int, len(roles)) // whose neutral each role is, -1 for all others
	for k, r := range roles {
		feeds[k] = -1
		if r.Function == Neutral && r.For == "" {
			feeds[k] = slices.IndexFunc(sp.feeds, func(f feed) bool { return f.ref.Name == r.Of })
		}
	}
	sums := make([]float64, len(roles))
	counts := make([]int, len(roles))
	power := make([]float64, len(sp.control))
	powers := make([][2]int, len(sp.control)) // surely and at least possibly
	total := 0.0
	for _, i := range left {
		h := &s.c.all[i]
		w := s.weightOf(i, status)
		total += w
		for k, r := range roles {
			for e := range h.node {
				if sp.at[e] == at && (h.role(e) == r || h.neutralOf(e, feeds[k])) {
					sums[k] += w
					counts[k]++
					break
				}
			}
		}
		for k, p := range h.frame.plans {
			switch s.c.powers(h, p.feed, at) {
			case Surely:
				power[k] += w
				powers[k][0]++
				powers[k][1]++
			case Possibly:
				power[k] += w / 2
				powers[k][1]++
			}
		}
	}
	sure := func(n int) Surety {
		if status == trace.Contradiction {
			return Possibly
		}
		return sure3(n, len(left))
	}
	for k, r := range roles {
		p := Presence{Role: r, Is: sure(counts[k]), Likely: ratio(sums[k] / total)}
		if r.Function == Ground {
			p.Is, p.Likely = s.grounded(box)
		}
		out.Has = append(out.Has, p)
	}
	for k, c := range sp.control {
		is := sure(powers[k][0])
		if is == Never && powers[k][1] > 0 {
			is = Possibly
		}
		out.Controls = append(out.Controls, Powered{c.name, is, ratio(power[k] / total)})
	}
	for _, u := range s.uses(left, status) {
		if u.End.Box == box {
			out.Ends = append(out.Ends, u)
		}
	}
	return out, nil
}

// neutralOf reports whether an end is on a neutral of a feed, whether or not another feed
// shares it, or it is kept apart; or on one that somebody joined with such a neutral, and
// that is live with it.
func (h *possibility) neutralOf(e, feed int) bool {
	n := h.node[e]
	if n == spareNode || feed < 0 {
		return false
	}
	x, root, tied := &h.frame.nodes[n], h.frame.root(feed), h.frame.way.tied
	return x.role.Function == Neutral && (x.of == root || slices.Contains(tied, x.of) && slices.Contains(tied, root))
}

func sure3(n, of int) Surety {
	switch n {
	case 0:
		return Never
	case of:
		return Surely
	}
	return Possibly
}

// grounded says whether a box has a ground: surely if one was proven.
func (s *Session) grounded(box string) (Surety, quantity.Ratio) {
	some := false
	for _, p := range s.c.grounds() {
		if p.Place == box {
			some = true
			if s.good[p.String()] {
				return Surely, quantity.Whole
			}
		}
	}
	if some {
		return Possibly, quantity.Whole / 2
	}
	return Never, 0
}

// roles returns every role that some conductor has under some possibility, and spare and
// ground, in order.
func (c *Case) roles() []Role {
	seen := map[Role]bool{{Function: Spare}: true, {Function: Ground}: true}
	for _, f := range c.sp.feeds {
		seen[Role{Function: ConstantHot, Of: f.ref.Name}] = true
		seen[Role{Function: Neutral, Of: f.ref.Name}] = true
	}
	var last *frame
	for i := range c.all {
		if f := c.all[i].frame; f != last {
			last = f
			for _, n := range f.nodes {
				seen[n.role] = true
			}
		}
	}
	for _, x := range c.sp.control {
		for _, fn := range []Function{SwitchLeg, Traveler, CommonLink, Return} {
			seen[Role{Function: fn, Of: x.name}] = true
		}
	}
	var out []Role
	for r := range seen {
		out = append(out, r)
	}
	slices.SortFunc(out, Role.compare)
	return out
}
