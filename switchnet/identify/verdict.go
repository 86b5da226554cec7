package identify

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// DefaultFits is how many classes a verdict describes.
const DefaultFits = 20

// A Verdict is what a session has come to.
type Verdict struct {
	// Status is Searching, Found if one class remains, Contradiction if none does, or
	// Ended after brittle insulation was found.
	Status trace.Status
	// Possibilities and Classes are how many remain. In a Contradiction they are those
	// that the fewest observations speak against.
	Possibilities, Classes int
	// Fits are the classes that remain, the likeliest first and of equals the one that
	// was generated first; at most as many as were asked for.
	Fits []Fit
}

// A Fit is a class that remains.
type Fit struct {
	// Likely is how likely it is, of all that remain.
	Likely quantity.Ratio
	// Cables are where the cables go by its likeliest possibility, by box and name.
	Cables []Way
	// Plans are how the controls are wired by its likeliest possibility, in name order.
	Plans []Plan
	// Ends are what the conductors are for, in the order of Case.Ends.
	Ends []Use
	// Against lists the observations that do not fit it, as indices into the log, and Cut
	// those by which a conductor that is spare in it is cut somewhere along its run.
	Against, Cut []int
}

// A Use is a conductor and what it may be for.
type Use struct {
	End wiring.End
	// Roles are in the order of functions and names.
	Roles []Likely
}

// A Likely is a role and how likely it is, of all that is reckoned with.
type Likely struct {
	Role   Role
	Likely quantity.Ratio
}

// String returns "C1.white in box lower: constant hot of stair". The text is for reading
// and not stable.
func (u Use) String() string {
	names := make([]string, len(u.Roles))
	for i, r := range u.Roles {
		names[i] = r.Role.String()
		if len(u.Roles) > 1 {
			names[i] += fmt.Sprintf(" (%s)", percent(r.Likely))
		}
	}
	return fmt.Sprintf("%s: %s", u.End, strings.Join(names, " or "))
}

func percent(r quantity.Ratio) string {
	switch {
	case r > 0 && r < quantity.Percent:
		return "under 1 %"
	case r < quantity.Whole && r > 99*quantity.Percent:
		return "over 99 %"
	}
	return r.FormatPercent(0)
}

// Verdict returns what the observations have come to, with the given number of classes
// described; 0 means DefaultFits. It takes time in proportion to the possibilities.
func (s *Session) Verdict(fits int) Verdict {
	if fits <= 0 {
		fits = DefaultFits
	}
	left, status := s.left()
	v := Verdict{Possibilities: len(left)}
	sum := make([]float64, s.c.classes)
	count := make([]int, s.c.classes)
	var order []int
	total := 0.0
	for _, i := range left {
		k := s.c.class[i]
		if count[k] == 0 {
			order = append(order, k)
		}
		count[k]++
		w := s.weightOf(i, status)
		sum[k] += w
		total += w
	}
	v.Classes = len(order)
	if status == 0 {
		status = trace.Searching
		if v.Classes == 1 {
			status = trace.Found
		}
	}
	v.Status = status
	// Equal but for rounding is equal.
	grain := 1e-12 * total
	slices.SortFunc(order, func(a, b int) int {
		if c := cmp.Compare(math.Round(sum[b]/grain), math.Round(sum[a]/grain)); c != 0 {
			return c
		}
		return cmp.Compare(a, b)
	})
	order = order[:min(fits, len(order))]
	members := make(map[int][]int, len(order))
	for _, k := range order {
		members[k] = make([]int, 0, count[k])
	}
	for _, i := range left {
		if m, ok := members[s.c.class[i]]; ok {
			members[s.c.class[i]] = append(m, i)
		}
	}
	for _, k := range order {
		v.Fits = append(v.Fits, s.fit(members[k], sum[k]/total, status))
	}
	return v
}

// status returns what Verdict says, without describing anything.
func (s *Session) status() trace.Status {
	left, status := s.left()
	if status != 0 {
		return status
	}
	for _, i := range left {
		if s.c.class[i] != s.c.class[left[0]] {
			return trace.Searching
		}
	}
	return trace.Found
}

// left returns what remains, and the status if that is settled by it.
func (s *Session) left() ([]int, trace.Status) {
	var out []int
	for i := range s.weight {
		if s.remains(i) {
			out = append(out, i)
		}
	}
	switch {
	case s.brittle != "":
		return out, trace.Ended
	case len(out) > 0:
		return out, 0
	}
	few := math.MaxInt
	for i := range s.weight {
		n := len(s.misfits(i))
		if n < few {
			few, out = n, nil
		}
		if n == few {
			out = append(out, i)
		}
	}
	return out, trace.Contradiction
}

// weightOf returns how likely a possibility is; in a contradiction, how likely it was.
func (s *Session) weightOf(i int, status trace.Status) float64 {
	if status == trace.Contradiction {
		return s.c.all[i].share
	}
	return s.weight[i]
}

func (s *Session) fit(members []int, likely float64, status trace.Status) Fit {
	best := members[0]
	for _, i := range members {
		if s.weightOf(i, status) > s.weightOf(best, status) {
			best = i
		}
	}
	f := Fit{Likely: ratio(likely), Cables: s.c.ways(best), Plans: s.c.plans(best)}
	f.Against = s.misfits(best)
	for k, j := range s.judges {
		if j.cut != nil && j.cut(best) {
			f.Cut = append(f.Cut, k)
		}
	}
	s.c.others(f.Cables, best, members)
	f.Ends = s.uses(members, status)
	return f
}

// uses returns what every end may be for under some possibilities.
func (s *Session) uses(members []int, status trace.Status) []Use {
	out := make([]Use, len(s.c.sp.ends))
	total := 0.0
	sums := make([]map[Role]float64, len(out))
	for _, i := range members {
		h := &s.c.all[i]
		w := s.weightOf(i, status)
		total += w
		for e := range out {
			if sums[e] == nil {
				sums[e] = map[Role]float64{}
			}
			sums[e][h.role(e)] += w
		}
	}
	for e := range out {
		out[e] = Use{End: s.c.sp.ends[e], Roles: likelies(sums[e], total)}
	}
	return out
}

func likelies(sums map[Role]float64, total float64) []Likely {
	var out []Likely
	for r, w := range sums {
		out = append(out, Likely{r, ratio(w / total)})
	}
	slices.SortFunc(out, func(a, b Likely) int { return a.Role.compare(b.Role) })
	return out
}

// role returns what an end is for under a possibility.
func (h *possibility) role(e int) Role {
	if n := h.node[e]; n != spareNode {
		return h.frame.nodes[n].role
	}
	return Role{Function: Spare}
}

func ratio(x float64) quantity.Ratio {
	return quantity.Ratio(math.Round(min(max(x, 0), 1) * float64(quantity.Whole)))
}

// misfits returns the observations that speak against a possibility, as indices into the
// log.
func (s *Session) misfits(i int) []int {
	var out []int
	for k, j := range s.judges {
		if j.likely != nil && j.likely(i) == 0 {
			out = append(out, k)
		}
	}
	return out
}
