package trace

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/wiring"
)

// A Cure is what puts a cause right. It is a proposal for a person to carry out with
// everything dead, and to prove afterwards; it is no statement about what is there.
type Cure struct {
	// Does are the steps in order, as verb phrases that name what moves from where to
	// where: "move C1.black from traveler 1 to common of hall in box place-1". None if
	// nothing is wrong. The text is for reading and not stable.
	Does []string
	// Edits do the same to the wiring that has the fault.
	Edits []wiring.Edit
	// Boxes are those that have to be opened, in name order. A conductor that is open
	// or a cable that is pulled anew takes both its boxes.
	Boxes []string
}

// Cure returns what puts a cause of the case right: the edits that turn the job with
// the fault into the job as it is meant to be, each end where it belongs and every
// device of its kind. An error means that the fault is not of this job.
//
// What results is compared with the job as it is meant to be, end by end, so that no
// rule finds in it what it does not find there.
func (c *Case) Cure(x Cause) (Cure, error) { return c.cure(x.Fault.Edits, x.String()) }

// CureDouble returns what puts two faults at once right, in the same way.
func (c *Case) CureDouble(d Double) (Cure, error) {
	a, b := d.Causes[0].Fault.Edits, d.Causes[1].Fault.Edits
	out, err := c.cure(slices.Concat(a, b), d.String())
	if err != nil {
		// The one may be possible only after the other.
		out, err = c.cure(slices.Concat(b, a), d.String())
	}
	return out, err
}

func (c *Case) cure(edits []wiring.Edit, says string) (Cure, error) {
	bad, err := c.w.Apply(edits...)
	if err != nil {
		return Cure{}, &Error{"Cause.Fault", err.Error()}
	}
	m := &mender{now: bad, is: bad.Spec(), meant: c.w.Spec(), boxes: map[string]bool{}}
	if err := m.mend(); err != nil {
		return Cure{}, &Error{"Cause.Fault", err.Error()}
	}
	if !slices.Equal(placed(m.is), placed(m.meant)) {
		return Cure{}, &Error{"Cause.Fault", fmt.Sprintf("no cure is known for %q", says)}
	}
	for b := range m.boxes {
		m.out.Boxes = append(m.out.Boxes, b)
	}
	slices.Sort(m.out.Boxes)
	return m.out, nil
}

// Steps returns what to do, in order, in plain sentences with the cautions: everything
// dead first, and the proof after. The sentences are for reading and not stable.
func (c Cure) Steps() []string {
	if len(c.Does) == 0 {
		return nil
	}
	out := []string{Action{Do: LockOut}.Step()}
	for _, b := range c.Boxes {
		out = append(out, Action{ProveDead, b}.Step())
	}
	for _, d := range c.Does {
		out = append(out, strings.ToUpper(d[:1])+d[1:]+".")
	}
	return append(out,
		"Still locked out: ring out what was moved, and see that no conductor of the circuit is joined to another that it is not meant to be joined to.",
		Action{Do: Energize}.Step(),
		"Prove it: flip every switch as the proving walk says, and take the readings that go with it. The code that is locally adopted and its inspector say what else is to be shown.")
}
