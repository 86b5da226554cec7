package switchnet

import (
	"fmt"
	"strings"

	"example.com/switchleg/internal/enum"
)

// A StepKind says by what a path goes from one terminal to the next.
type StepKind uint8

// The kinds of step.
const (
	ByConductor StepKind = iota + 1
	BySplice
	ByContact // a closed contact of a device
	ByLoad
)

var stepNames = [...]string{"", "conductor", "splice", "contact", "load"}

// String returns the word.
func (k StepKind) String() string {
	return enum.Word(stepNames[:], k, "StepKind")
}

// MarshalText writes the word.
func (k StepKind) MarshalText() ([]byte, error) {
	return marshalWord(stepNames[:], uint8(k), "kind of step")
}

// UnmarshalText reads the word.
func (k *StepKind) UnmarshalText(text []byte) error {
	n, err := unmarshalWord(stepNames[:], text, "kind of step")
	if err == nil {
		*k = StepKind(n)
	}
	return err
}

// A Step takes a path from one terminal to another.
type Step struct {
	Kind StepKind
	// Name is the conductor's name, or that of the splice, device or load.
	Name     string
	From, To Terminal
}

// A Path is a way from one rail to another. No terminal comes twice in it, and no
// splice, conductor or group of joined contacts; nor does it leave a piece of metal
// through a load and meet it again, for a way round through other loads that comes
// back to where it was carries no current.
type Path struct{ Steps []Step }

// From returns the terminal the path starts from, the zero Terminal if it is
// empty.
func (p Path) From() Terminal {
	if len(p.Steps) == 0 {
		return Terminal{}
	}
	return p.Steps[0].From
}

// To returns the terminal the path ends on, the zero Terminal if it is empty.
func (p Path) To() Terminal {
	if len(p.Steps) == 0 {
		return Terminal{}
	}
	return p.Steps[len(p.Steps)-1].To
}

// String returns the path as a person traces it, one terminal after the other
// with what leads there. The text is for reading and not stable.
func (p Path) String() string {
	var b strings.Builder
	b.WriteString(p.From().String())
	for _, s := range p.Steps {
		switch s.Kind {
		case ByConductor:
			fmt.Fprintf(&b, ", by %s to %s", s.Name, s.To)
		case BySplice:
			fmt.Fprintf(&b, ", spliced to %s", s.To)
		case ByContact:
			fmt.Fprintf(&b, ", through %s to %s", s.Name, s.To)
		case ByLoad:
			fmt.Fprintf(&b, ", through load %s to %s", s.Name, s.To)
		}
	}
	return b.String()
}

// PathOptions limits a search for paths. The zero value, or nil, means the
// defaults.
type PathOptions struct {
	// Max is the number of paths wanted; 0 means 16.
	Max int
	// Work is the number of steps the search may look at, over all partial
	// paths; 0 means 16 million.
	Work int
}

func (o *PathOptions) limits() (most, work int) {
	most, work = 16, 16_000_000
	if o != nil && o.Max > 0 {
		most = o.Max
	}
	if o != nil && o.Work > 0 {
		work = o.Work
	}
	return most, work
}

// Paths are the paths found, the shortest (fewest steps) first.
type Paths struct {
	// List holds paths of equal length in the order of the line they start
	// from, then of the choices where they part: conductors in name order,
	// splices, contacts, loads.
	List []Path
	// Truncated reports that there may be more: the search met a limit.
	Truncated bool
}

// Paths returns the energized paths of a load: from a line through the load to a
// rail of another potential. For a lit load they go through metal and this load
// only; for a dim load through the loads in series with it too, from metal on the
// line to the first metal on another rail. An unlit or
// faulted load has none. A path between two lines starts from the first of them.
// An unknown load is an error.
//
// The search is best-first over partial paths, bounded by the exact distance left
// were nothing in the way (Hart, Nilsson and Raphael, 1968); the first path of a
// net without loops costs time linear in the net.
func (v *View) Paths(load Ref, opt *PathOptions) (Paths, error) {
	i, ok := v.net.load(load)
	if !ok {
		return Paths{}, &Problem{Unknown, "load " + quote(load.String()), "is not in the net"}
	}
	status := v.supply[i].status
	if status != Lit && status != Dim {
		return Paths{}, nil
	}
	most, work := opt.limits()
	var out Paths
	for r := range Rails() {
		if !r.Line() || v.net.railTerm[r] < 0 {
			continue
		}
		s := newPathSearch(v, r, int32(i), status == Dim)
		found := s.run(most, work)
		out.List = mergePaths(out.List, found.List)
		out.Truncated = out.Truncated || found.Truncated
	}
	if len(out.List) > most {
		out.List, out.Truncated = out.List[:most], true
	}
	return out, nil
}

// mergePaths merges two lists in order of length; of equal length, a's first.
func mergePaths(a, b []Path) []Path {
	out := make([]Path, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if len(b[0].Steps) < len(a[0].Steps) {
			out, b = append(out, b[0]), b[1:]
		} else {
			out, a = append(out, a[0]), a[1:]
		}
	}
	return append(append(out, a...), b...)
}
