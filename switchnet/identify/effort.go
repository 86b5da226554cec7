package identify

import (
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// effort returns what a test takes, and how often one goes from box to box for it; and it
// notes in the test where the long lead is.
func (s *Session) effort(t *Test) (sum time.Duration, walks int) {
	e := &s.c.effort
	where := s.where
	walk := func(box string) {
		if box != "" {
			if where != "" && where != box {
				walks++
			}
			sum += s.c.walk(where, box)
			where = box
		}
	}
	for _, a := range t.Before {
		walk(a.Box)
		switch a.Do {
		case TakeLeads:
			walk(s.clipAt)
			sum += e.Continuity
		case LockOut:
			sum += e.LockOut
		case ProveDead:
			sum += e.ProveDead
		case PartEnds:
			sum += e.Continuity
		case TakeOff, TakeApart:
			sum += e.Open
		case Energize:
			sum += e.Energize
		}
	}
	for _, x := range t.Tied {
		if !t.Made {
			walk(x[0].Box)
			sum += e.Continuity
		}
	}
	switch t.Kind {
	case AskObeys:
		sum += e.Ask
	case LookInBox:
		walk(t.Box)
		sum += e.Look
	case DeadTest:
		far := t.Between[0].Place != t.Between[1].Place
		t.Laid = far && s.lead == leadOf(t.Between)
		if t.Clipped = s.clipped(t, where); t.Clipped {
			sum += e.Continuity
			break
		}
		walk(t.Between[0].Place)
		if far && !t.Laid {
			sum += e.Lead
		}
		walk(t.Between[1].Place)
		sum += e.Continuity
	case LiveReading:
		walk(t.Box)
		if t.Prove {
			sum += e.Prove
		}
		sum += e.Reading
	}
	return sum, walks
}

// clipped reports whether a test needs no walk to its first point, since the long lead
// was left on that, and the person is at the second.
func (s *Session) clipped(t *Test, where string) bool {
	return s.clip != "" && where != "" && t.Between[0].String() == s.clip && t.Between[1].Place == where && leadOf(t.Between) == s.lead
}

// storey is how much higher a box must be for stairs to lie between.
const storey = 7 * quantity.Foot

// walk returns what it takes to go from box to box.
func (c *Case) walk(from, to string) time.Duration {
	if from == to || from == "" {
		return 0
	}
	a, b := c.sp.box[from], c.sp.box[to]
	if d := a.At[2] - b.At[2]; a.Placed && b.Placed && (d >= storey || -d >= storey) {
		return c.effort.Walk + c.effort.Stairs
	}
	return c.effort.Walk
}

// leadOf returns the boxes between which a test needs a long lead, in name order.
func leadOf(between [2]switchnet.Terminal) [2]string {
	a, b := between[0].Place, between[1].Place
	return [2]string{min(a, b), max(a, b)}
}
