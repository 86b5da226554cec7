package trace

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
)

// A Handle is a switch and where its handle stands.
type Handle struct {
	Switch   switchnet.Ref
	Position string // as its kind names it
}

// A Setting is where handles stand. One that leaves switches out means all their
// positions.
type Setting []Handle

// String returns "hall at place-1 up, hall at place-2 down". The text is for reading
// and not stable.
func (s Setting) String() string {
	if len(s) == 0 {
		return "any setting"
	}
	parts := make([]string, len(s))
	for i, h := range s {
		parts[i] = h.Switch.String() + " " + h.Position
	}
	return strings.Join(parts, ", ")
}

// space numbers the settings of all switches. The switches whose handle sense is not
// known have the low bits, so that a sense is a number below 1<<bits, and what a
// handle with that sense means is the exclusive or of the two.
type space struct {
	switches []switchnet.Ref // in name order
	kinds    []switchnet.Kind
	stride   []int // by switch
	radix    []int
	size     int
	bits     int
	low      []int // the switches with the low bits, the first with the lowest
}

// marked reports whether the positions of a kind can be told apart by looking at the
// handle.
func marked(k switchnet.Kind) bool {
	return len(k.Positions) != 2 || slices.ContainsFunc(k.Positions, func(p switchnet.Position) bool { return p.Name == "on" || p.Name == "off" })
}

func newSpace(net *switchnet.Net, known []switchnet.Ref, limit int) (*space, error) {
	sp := &space{size: 1}
	for d := range net.Devices() {
		if !d.Kind.Breaker && len(d.Kind.Positions) > 1 {
			sp.switches = append(sp.switches, d.Ref)
			sp.kinds = append(sp.kinds, d.Kind)
			sp.radix = append(sp.radix, len(d.Kind.Positions))
		}
	}
	sp.stride = make([]int, len(sp.switches))
	var errs Errors
	for _, r := range known {
		if !slices.Contains(sp.switches, r) {
			errs.add("Options.Known", "the job has no switch %s", r)
		}
	}
	grow := func(i int) {
		sp.stride[i] = sp.size
		if sp.size <= limit {
			sp.size *= sp.radix[i]
		}
	}
	for i, r := range sp.switches {
		if !marked(sp.kinds[i]) && !slices.Contains(known, r) {
			grow(i)
			sp.low = append(sp.low, i)
		}
	}
	sp.bits = len(sp.low)
	for i := range sp.switches {
		if !slices.Contains(sp.low, i) {
			grow(i)
		}
	}
	if sp.size > limit {
		errs.add("job", "its %d switches have more than %d settings; leave out what is not part of the trouble, or raise Options.States", len(sp.switches), limit)
	}
	return sp, errs.or()
}

// at returns the position of a switch in a setting.
func (sp *space) at(y, i int) int { return y / sp.stride[i] % sp.radix[i] }

// moved returns the setting with a switch moved to its next position.
func (sp *space) moved(y, i int) int { return sp.put(y, i, (sp.at(y, i)+1)%sp.radix[i]) }

func (sp *space) put(y, i, p int) int { return y + (p-sp.at(y, i))*sp.stride[i] }

func (sp *space) find(r switchnet.Ref) (int, bool) {
	return slices.BinarySearchFunc(sp.switches, r, switchnet.Ref.Compare)
}

// setting returns a setting in words, in name order.
func (sp *space) setting(y int) Setting {
	out := make(Setting, len(sp.switches))
	for i, r := range sp.switches {
		out[i] = Handle{r, sp.kinds[i].Positions[sp.at(y, i)].Name}
	}
	return out
}

// handle returns the number of a switch and of a position.
func (sp *space) handle(errs *Errors, where string, h Handle) (i, p int, ok bool) {
	i, ok = sp.find(h.Switch)
	if !ok {
		errs.add(where, "the job has no switch %s", h.Switch)
		return 0, 0, false
	}
	p, ok = sp.kinds[i].Position(h.Position)
	if !ok {
		names := make([]string, sp.radix[i])
		for k, q := range sp.kinds[i].Positions {
			names[k] = q.Name
		}
		errs.add(where, "%s has no position %q; it has %s", h.Switch, h.Position, strings.Join(names, ", "))
	}
	return i, p, ok
}

// meant returns the numbers of all settings that a setting stands for, in order, and
// whether it names every switch.
func (sp *space) meant(errs *Errors, where string, s Setting) (ys []int, whole bool) {
	fixed := make([]int, len(sp.switches))
	for i := range fixed {
		fixed[i] = -1
	}
	for k, h := range s {
		i, p, ok := sp.handle(errs, fmt.Sprintf("%s[%d]", where, k), h)
		if !ok {
			continue
		}
		if fixed[i] >= 0 {
			errs.add(fmt.Sprintf("%s[%d]", where, k), "%s is there twice", h.Switch)
		}
		fixed[i] = p
	}
	if !slices.Contains(fixed, -1) {
		y := 0
		for i, p := range fixed {
			y += p * sp.stride[i]
		}
		return []int{y}, true
	}
	for y := range sp.size {
		fits := true
		for i, p := range fixed {
			fits = fits && (p < 0 || p == sp.at(y, i))
		}
		if fits {
			ys = append(ys, y)
		}
	}
	return ys, false
}

// apart returns the switches that stand differently in two settings, in name order.
func (sp *space) apart(x, y int) []int {
	var out []int
	for i := range sp.switches {
		if sp.at(x, i) != sp.at(y, i) {
			out = append(out, i)
		}
	}
	return out
}
