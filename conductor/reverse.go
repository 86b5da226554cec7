package conductor

import (
	"fmt"

	"example.com/switchleg/conductor/quantity"
)

// Reach is how far a size reaches before a limit.
type Reach struct {
	Run   quantity.Length `json:"run"`   // one way, rounded down to the nanometer
	Limit quantity.Ratio  `json:"limit"` // at that length
	Steps []Step          `json:"steps"` // the drop at that length
}

// Cautions returns what a reader must know of the steps; see [Sizing.Cautions].
func (r Reach) Cautions() []string { return cautions(r.Steps, nil) }

// LongestRun returns the longest one-way run over which the size keeps the load
// of c within the limit on voltage drop, c's own or the region's; c's lengths do
// not matter. A run beyond 1000 km is given as that. Errors are those of
// [Sizer.Size], [ErrNoSuchSize], and one when there is no limit.
func (s *Sizer) LongestRun(c Circuit, size Size) (Reach, error) {
	if err := c.Check(); err != nil {
		return Reach{}, err
	}
	at := s.index(size)
	if at < 0 {
		return Reach{}, s.unlisted(size)
	}
	c.Path = 0
	within := func(run quantity.Length) (bool, *dropPlan, figure, error) {
		c.Run = run
		p, err := s.planDrop(&c)
		if err != nil {
			return false, nil, figure{}, err
		}
		if p.limit == 0 {
			return false, nil, figure{}, s.missing(RuleVoltageDrop, "usual limit on voltage drop; give one")
		}
		f, err := s.figure(p, at)
		return err == nil && !p.exceeds(f), p, f, err
	}
	if _, _, _, err := within(1); err != nil {
		return Reach{}, err
	}
	// The last nanometer within the limit lies in [low, high].
	low, high := quantity.Length(0), mostLength
	for low < high {
		middle := high - (high-low)/2
		if ok, _, _, _ := within(middle); ok {
			low = middle
		} else {
			high = middle - 1
		}
	}
	_, p, f, err := within(low)
	if err != nil {
		return Reach{}, err
	}
	return Reach{Run: c.Run, Limit: p.limit, Steps: []Step{p.step(size, f, false)}}, nil
}

// LeastForDrop returns the smallest size of the table that keeps the load of c
// within the limit on voltage drop, whatever its ampacity, and [DropNotMet]
// where none does. Sizes for which the table has no figure are passed over.
// Errors are those of [Sizer.Size], and one when there is no length or limit.
func (s *Sizer) LeastForDrop(c Circuit) (Size, Status, error) {
	if err := c.Check(); err != nil {
		return Size{}, 0, err
	}
	if !c.hasLength() {
		return Size{}, 0, fmt.Errorf("least size for voltage drop: the circuit has no length")
	}
	p, err := s.planDrop(&c)
	if err != nil {
		return Size{}, 0, err
	}
	if p.limit == 0 {
		return Size{}, 0, s.missing(RuleVoltageDrop, "usual limit on voltage drop; give one")
	}
	known := false
	for at := range s.sizes {
		f, figureErr := s.figure(p, at)
		if figureErr != nil {
			err = figureErr
			continue
		}
		known = true
		if !p.exceeds(f) {
			return s.sizes[at].Size, Fits, nil
		}
	}
	if !known && err != nil {
		return Size{}, 0, err
	}
	return Size{}, DropNotMet, nil
}

// LeastForLoop returns the smallest size of the table with which a fault at the
// end of c's run trips its breaker at once, whatever its ampacity, and the limit
// on the loop; [LoopNotMet] where none does. Errors are those of [Sizer.Size].
func (s *Sizer) LeastForLoop(c Circuit) (Size, quantity.Resistance, Status, error) {
	if err := c.Check(); err != nil {
		return Size{}, 0, 0, err
	}
	if c.Loop.Curve == "" {
		return Size{}, 0, 0, fmt.Errorf("least size for the fault loop: name the trip curve of the breaker")
	}
	p, err := s.planLoop(&c, c.Breaker)
	if err != nil {
		return Size{}, 0, 0, err
	}
	for at := range s.sizes {
		if impedance, err := s.loopOf(p, at); err == nil && impedance <= p.limit {
			return s.sizes[at].Size, p.limit, Fits, nil
		}
	}
	return Size{}, p.limit, LoopNotMet, nil
}

// loadWithinDrop returns the largest load within the limit on voltage drop,
// rounded down, and whether there is such a limit.
func (s *Sizer) loadWithinDrop(c *Circuit, at int) (quantity.Current, bool, error) {
	one := *c
	one.Load = Load{Other: quantity.Microampere}
	p, err := s.planDrop(&one)
	if err != nil || p.limit == 0 || !p.judge {
		return 0, false, err
	}
	f, err := s.figure(p, at)
	if err != nil {
		return 0, false, err
	}
	d := p.drop(f)
	return quantity.Current(p.allowed().dividedBy(&d).round(down)), true, nil
}
