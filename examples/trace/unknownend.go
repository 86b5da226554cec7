package main

import (
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/switchnet/identify"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// leftBehind is what a talk leaves in the boxes.
type leftBehind struct {
	tied   [][2]wiring.End
	leads  bool
	locked bool
}

// leaves returns what the tests so far left in the boxes.
func leaves(log []identify.Entry) leftBehind {
	var l leftBehind
	for _, e := range log {
		if o, ok := e.Of.(identify.Continuity); ok && !e.Earlier {
			l.tied, l.leads = o.Tied, true
		}
		if o, ok := e.Of.(identify.Reading); ok && !e.Earlier && len(o.Tied) > 0 {
			l.tied = o.Tied // nothing is parted while it is live
		}
		if e.Action == nil {
			continue
		}
		switch e.Action.Do {
		case identify.LockOut:
			l.locked = true
		case identify.Energize:
			l.locked = false
		case identify.TakeLeads:
			l.leads = false
		case identify.PartEnds:
			l.tied = slices.DeleteFunc(slices.Clone(l.tied), func(t [2]wiring.End) bool { return t[0].Box == e.Action.Box })
		}
	}
	return l
}

// undone says what has still to be undone in the boxes before anything is energized, or
// used again; nothing if nothing is.
func (d *sorter) undone() []string {
	l := leaves(d.s.Log())
	var out []string
	if d.s.Verdict(1).Status == trace.Ended {
		return d.asTheyAre(l)
	}
	for _, t := range l.tied {
		lead := "lock out every circuit, prove it dead"
		if l.locked {
			lead = "with every circuit still locked out and proven dead"
		}
		out = append(out, fmt.Sprintf("In %s, %s: part %s and %s, which are still twisted together, and cap each end.", t[0].Box, lead, t[0].Wire, t[1].Wire))
	}
	if l.leads {
		out = append(out, identify.Action{Do: identify.TakeLeads}.Step())
	}
	var apart, off []string
	for _, s := range d.s.Stages() {
		switch s.Stage {
		case identify.Parted:
			apart = append(apart, s.Box)
		case identify.Released:
			off = append(off, s.Box)
		}
	}
	if len(apart) > 0 {
		out = append(out, fmt.Sprintf("Apart: %s. Every end there stays tagged and capped until it is joined again, only %s.", strings.Join(apart, ", "), safely))
	}
	if len(off) > 0 {
		out = append(out, fmt.Sprintf("Without devices: %s. Every free end there stays tagged and capped until it is landed again, only %s.", strings.Join(off, ", "), safely))
	}
	return out
}

// asTheyAre says what stays in boxes in which nothing may be moved any more.
func (d *sorter) asTheyAre(l leftBehind) []string {
	var out []string
	for _, t := range l.tied {
		out = append(out, fmt.Sprintf("In %s %s and %s are still twisted together.", t[0].Box, t[0].Wire, t[1].Wire))
	}
	if l.leads {
		out = append(out, "A test lead may still be on a conductor.")
	}
	for _, s := range d.s.Stages() {
		if s.Stage != identify.Found {
			out = append(out, fmt.Sprintf("%s: %v.", s.Box, s.Stage))
		}
	}
	if len(out) > 0 {
		out = append(out, "Tell all of this to whoever judges the wiring; nothing is energized before.")
	}
	return out
}

// remind prints what has still to be undone.
func (d *sorter) remind() {
	todo := d.undone()
	if len(todo) == 0 {
		return
	}
	lead := "Still to be undone in the boxes, before anything is energized:"
	if d.s.Verdict(1).Status == trace.Ended {
		lead = "The boxes stay as they are:"
	}
	fmt.Fprintln(d.out, "\n"+lead)
	for _, line := range todo {
		wrap(d.out, "  - ", line)
	}
}
