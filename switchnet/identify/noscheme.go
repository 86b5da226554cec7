package identify

import (
	"context"
	"errors"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/wiring"
)

// A NoScheme says that no possibility agrees with what a wiring states. It is an error.
type NoScheme struct {
	// Boxes are the fewest open boxes, in name order, two at most, without whose landings
	// and splices something would: they are miswired, or somebody worked there. Of several
	// such sets it is the first in name order. It is empty if there is none.
	Boxes []string
}

// Error returns the words.
func (e *NoScheme) Error() string {
	s := "identify: no scheme that is reckoned with gives these boxes: "
	if len(e.Boxes) > 0 {
		return s + "what is landed and spliced in box " + strings.Join(e.Boxes, " and in box ") + " does not go with the rest; it is miswired, or somebody worked there since the lights last obeyed (Options.Disturbed)"
	}
	return s + "a cable may be missing, the feed may come into another box, a control may have another place, the cables may make a loop, or a box may have been worked on (Options.Disturbed)"
}

// noScheme finds out which boxes are to blame that nothing agrees with the wiring.
func (c *Case) noScheme(ctx context.Context, spec wiring.Spec) error {
	g := *c.g
	g.limit = 1 // one is enough
	try := func(boxes ...string) (bool, error) {
		g.known = g.facts(spec, append(slices.Clone(c.opt.Disturbed), boxes...))
		all, err := g.all(ctx)
		if errors.Is(err, errMany) {
			return true, nil
		}
		return len(all) > 0, err
	}
	for _, a := range g.open {
		if ok, err := try(a); err != nil || ok {
			return orErr(err, &NoScheme{[]string{a}})
		}
	}
	for i, a := range g.open {
		for _, b := range g.open[i+1:] {
			if ok, err := try(a, b); err != nil || ok {
				return orErr(err, &NoScheme{[]string{a, b}})
			}
		}
	}
	return &NoScheme{}
}

// orErr returns an error, or another one if it is nil.
func orErr(err error, other *NoScheme) error {
	if err != nil {
		return err
	}
	return other
}
