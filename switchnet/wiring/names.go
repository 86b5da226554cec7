package wiring

import (
	"errors"
	"fmt"
	"iter"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxName is the longest name in bytes.
const maxName = 200

// CheckName returns what is wrong with the name of a box, cable, device, light,
// feed or control, or nil: it is missing, too long, not UTF-8, begins or ends with
// a blank, or holds a control character.
func CheckName(name string) error {
	switch {
	case name == "":
		return errors.New("has no name; give it one")
	case len(name) > maxName:
		return fmt.Errorf("the name is %d bytes long; the limit is %d", len(name), maxName)
	case !utf8.ValidString(name):
		return fmt.Errorf("the name %q is not UTF-8; write it again", name)
	case strings.TrimSpace(name) != name || strings.ContainsFunc(name, misleads):
		return fmt.Errorf("the name %q has a blank at an end or a control character; take it out", name)
	}
	return nil
}

// misleads reports whether a character is a control character, those among them that
// show text in another order than it is in: a tag must read as it is written.
func misleads(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }

// MaxCandidates is the most names that a [Problem] proposes.
const MaxCandidates = 20

// Names are names that are known, to be proposed where an unknown one is used.
type Names struct {
	forward  []string // in name order
	backward []string // in the order of the names read from their ends
}

// NewNames returns the names given, each once and without the empty one. It takes
// the time of two sorts.
func NewNames(names iter.Seq[string]) *Names {
	n := &Names{forward: slices.Sorted(names)}
	n.forward = slices.Compact(n.forward)
	if len(n.forward) > 0 && n.forward[0] == "" {
		n.forward = n.forward[1:]
	}
	if len(n.forward) > MaxCandidates {
		n.backward = slices.Clone(n.forward)
		slices.SortFunc(n.backward, compareBackward)
	}
	return n
}

// Near returns the names that may have been meant by one that is not known, in
// name order. Up to [MaxCandidates] they are all there are. Of more they are the
// half of that which stand nearest to it in name order, so that they begin like it,
// and as many that stand nearest when all are read from their ends, so that they
// end like it. It takes the time of two binary searches, and more is how many names
// there are beside.
func (n *Names) Near(name string) (near []string, more int) {
	if len(n.forward) <= MaxCandidates {
		return slices.Clone(n.forward), 0
	}
	near = slices.Concat(around(n.forward, name, strings.Compare), around(n.backward, name, compareBackward))
	slices.Sort(near)
	near = slices.Compact(near)
	return near, len(n.forward) - len(near)
}

// around returns half of MaxCandidates names about the place of one in a sorted
// list.
func around(sorted []string, name string, compare func(a, b string) int) []string {
	const half = MaxCandidates / 2
	at, _ := slices.BinarySearchFunc(sorted, name, compare)
	from := max(0, min(at-half/2, len(sorted)-half))
	return sorted[from : from+half]
}

// compareBackward orders names bytewise from their ends.
func compareBackward(a, b string) int {
	for i := 1; i <= len(a) && i <= len(b); i++ {
		if x, y := a[len(a)-i], b[len(b)-i]; x != y {
			return int(x) - int(y)
		}
	}
	return len(a) - len(b)
}
