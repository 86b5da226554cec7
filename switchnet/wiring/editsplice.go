package wiring

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// JoinSplice is an edit that puts joints together in one splice of a box. A splice
// that holds the first joint already takes the others in; of several, which only a
// terminal can be in, the first in the order of their names (see [Splice]). A wire
// leaves the place it had, and a terminal the splice in which it stood alone;
// otherwise a terminal stays in the splices it has as well, and keeps what is landed
// on it.
type JoinSplice struct {
	Box  string
	Join []Joint
}

func (e JoinSplice) String() string {
	return fmt.Sprintf("splice %s together in box %s", list(e.Join), e.Box)
}

func (e JoinSplice) apply(s *Spec) error {
	if len(e.Join) == 0 {
		return errors.New("it joins nothing; name what to join")
	}
	at := spliceOf(s, e.Box, e.Join[:1])
	if at < 0 {
		s.Splices = append(s.Splices, Splice{Box: e.Box})
		at = len(s.Splices) - 1
	}
	sp := &s.Splices[at]
	in := make(map[Joint]bool, len(sp.Join)+len(e.Join))
	for _, j := range sp.Join {
		in[j] = true
	}
	moved := map[Joint]bool{} // out of other splices
	for _, j := range e.Join {
		if !in[j] {
			in[j] = true
			sp.Join = append(sp.Join, j)
		}
		if j.Device == "" {
			moved[j] = true
		}
	}
	s.Landings = slices.DeleteFunc(s.Landings, func(l Landing) bool { return l.Box == e.Box && moved[Joint{Wire: l.Wire}] })
	s.Caps = slices.DeleteFunc(s.Caps, func(c Cap) bool { return c.Box == e.Box && moved[Joint{Wire: c.Wire}] })
	for i, other := range s.Splices {
		if i != at && other.Box == e.Box && len(other.Join) == 1 && in[other.Join[0]] {
			s.Splices[i].Join = nil
		}
	}
	leave(s, e.Box, moved, at)
	s.Splices = slices.DeleteFunc(s.Splices, func(sp Splice) bool { return sp.Box == e.Box && len(sp.Join) == 0 })
	return nil
}

// spliceOf returns the index of the splice of a box that holds all of some joints,
// the first in name order of several, or -1.
func spliceOf(s *Spec, box string, joints []Joint) int {
	at, name := -1, ""
	for i := range s.Splices {
		sp := &s.Splices[i]
		if sp.Box != box || !holds(sp.Join, joints) {
			continue
		}
		if n := sp.name(); at < 0 || strings.Compare(n, name) < 0 {
			at, name = i, n
		}
	}
	return at
}

// holds reports whether a splice has all of some joints.
func holds(join, joints []Joint) bool {
	left := make(map[Joint]bool, len(joints))
	for _, j := range joints {
		left[j] = true
	}
	for _, j := range join {
		if delete(left, j); len(left) == 0 {
			break
		}
	}
	return len(left) == 0
}

// SplitSplice is an edit that takes joints out of their splice and joins them in a
// splice of their own. Of several splices that hold them all, which only terminals
// can be in, it is the first in the order of their names (see [Splice]).
type SplitSplice struct {
	Box string
	Out []Joint
}

func (e SplitSplice) String() string {
	return fmt.Sprintf("take %s out of the splice in box %s and splice it apart", list(e.Out), e.Box)
}

func (e SplitSplice) apply(s *Spec) error {
	if len(e.Out) == 0 {
		return errors.New("it takes nothing out; name what to take out")
	}
	spliced := map[Joint]bool{}
	for _, sp := range s.Splices {
		if sp.Box == e.Box {
			for _, j := range sp.Join {
				spliced[j] = true
			}
		}
	}
	out := make(map[Joint]bool, len(e.Out))
	for _, j := range e.Out {
		if out[j] {
			return fmt.Errorf("%s is named twice; name it once", j)
		}
		out[j] = true
		if !spliced[j] {
			return fmt.Errorf("%s is in no splice of that box; name what is in one", j)
		}
	}
	at := spliceOf(s, e.Box, e.Out)
	if at < 0 {
		return errors.New("no one splice holds them all; name joints of one splice")
	}
	if len(e.Out) >= len(s.Splices[at].Join) {
		return errors.New("nothing would be left of the splice; leave a joint in it")
	}
	s.Splices[at].Join = slices.DeleteFunc(s.Splices[at].Join, func(j Joint) bool { return out[j] })
	s.Splices = append(s.Splices, Splice{e.Box, slices.Clone(e.Out)})
	return nil
}

// TieJoints is an edit that makes two things in a box touch, leaving both where
// they are.
type TieJoints Tie

func (e TieJoints) String() string {
	return fmt.Sprintf("let %s and %s touch in box %s", e.A, e.B, e.Box)
}

func (e TieJoints) apply(s *Spec) error {
	if slices.ContainsFunc(s.Ties, Tie(e).same) {
		return errors.New("they touch already; nothing is to be done")
	}
	s.Ties = append(s.Ties, Tie(e))
	return nil
}

// Untie is an edit that parts what touches, in whichever order the two are named.
type Untie Tie

func (e Untie) String() string { return fmt.Sprintf("part %s and %s in box %s", e.A, e.B, e.Box) }

func (e Untie) apply(s *Spec) error {
	at := slices.IndexFunc(s.Ties, Tie(e).same)
	if at < 0 {
		return errors.New("they do not touch; name two that do")
	}
	s.Ties = slices.Delete(s.Ties, at, at+1)
	return nil
}

// same reports whether two ties are of the same two things.
func (t Tie) same(u Tie) bool { return t.sorted() == u.sorted() }
