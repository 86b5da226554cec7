package lab

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/steady"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// act is one move while it is made.
type act struct {
	p   *Practice
	out Outcome
}

func (a *act) danger(k DangerKind, more string) {
	a.out.Dangers = append(a.out.Dangers, Danger{Kind: k, Move: len(a.p.log), Why: strings.TrimSpace(dangerWhy[k] + " " + more)})
}

func (a *act) takes(d time.Duration) { a.out.Effort += d }

// goes walks to a box.
func (a *act) goes(box string) {
	if a.p.where != "" && a.p.where != box {
		a.takes(trace.DefaultEffort().Walk)
	}
	a.p.where = box
}

// do makes a move that is possible. What can fail does so before anything has changed.
func (a *act) do(m Move) error {
	p, e := a.p, trace.DefaultEffort()
	switch m.Verb {
	case Look:
		a.takes(e.Look)
		a.lights()
	case Flip:
		a.goes(m.Switch.Place)
		a.takes(e.Flip + e.Look)
		d, _ := p.drawn.Net().Device(m.Switch)
		p.handles[m.Switch] = (p.handles[m.Switch] + 1) % len(d.Kind.Positions)
		if p.on() {
			a.energized()
		}
		a.lights()
	case LockOut:
		a.takes(e.LockOut)
		p.locked = true
		clear(p.proven)
		clear(p.dead)
		a.out.Says = "Every breaker is off, locked and tagged."
	case Energize:
		a.takes(e.Energize)
		if p.onceTripped {
			a.danger(AfterTrip, "")
		}
		if len(p.lifted) > 0 {
			a.danger(OpenEnds, fmt.Sprintf("%d end(s) hang free.", len(p.lifted)))
		}
		p.locked, p.tripped = false, false
		clear(p.proven)
		clear(p.dead)
		a.energized()
		a.lights()
	case Reset:
		a.takes(e.Energize)
		a.danger(AfterTrip, "")
		p.tripped = false
		a.energized()
		a.lights()
	case ProveDead:
		a.goes(m.Box)
		a.takes(e.Open + e.ProveDead)
		a.out.Shown = !p.on() || !p.it.live(m.Box, p.it.state(p.handles, true))
		switch {
		case !a.out.Shown:
			a.out.Says = "The tester shows volts: something in the box is live."
		case !p.locked:
			a.out.Says = "The tester shows nothing now; but nothing is locked out, and it may be live the next moment."
		default:
			p.dead[m.Box] = true
			a.out.Says = "The tester shows nothing, and was proven before and after: the box is dead."
		}
	case ProvePoint:
		a.goes(m.Points[0].Place)
		a.takes(e.Prove)
		ok, err := p.it.reference(p.handles, p.on(), m.Points[0])
		if err != nil {
			return err
		}
		a.out.Shown = ok
		a.out.Says = "The known live source does not show its volts over it: it is no reference."
		if delete(p.proven, m.Points[0]); ok {
			p.proven[m.Points[0]] = true
			a.out.Says = "The known live source shows its volts over it: it can serve as a reference."
		}
		a.rulesOut(func(b *bench) (bool, error) {
			got, err := b.reference(p.handles, p.on(), m.Points[0])
			return got == ok, err
		})
	case Read:
		return a.read(m)
	case Continuity:
		return a.continuity(m)
	case LiftEnd, CapEnd, LandEnd, SpliceEnd:
		return a.change(m)
	case Undo:
		a.touches("")
		last := p.past[len(p.past)-1]
		p.past = p.past[:len(p.past)-1]
		p.it, p.suspects, p.lifted = last.it, last.suspects, last.lifted
		a.takes(e.Reading)
		a.out.Says = "The last change is back as it was."
		a.changed()
	}
	return nil
}

// energized notes what it does that the circuit is on in the setting in which it now is.
func (a *act) energized() {
	p := a.p
	risky := 0
	for _, b := range p.suspects {
		if _, tripped := b.look(p.handles); tripped {
			risky++
		}
	}
	if risky > 0 {
		a.danger(MayBeFault, fmt.Sprintf("%d of the %d possibilities that were left would be one.", risky, len(p.suspects)))
	}
	_, p.tripped = p.it.look(p.handles)
	a.out.Tripped = p.tripped
	switch t, hot := p.it.touchable(p.handles); {
	case p.tripped:
		p.onceTripped = true
		a.danger(Trip, "")
	case hot:
		a.danger(HotFrame, "It is "+t.String()+".")
	}
}

// lights tells what the lights do.
func (a *act) lights() {
	p := a.p
	switch {
	case p.locked:
		a.out.Says = "Everything is locked out and dark."
		return
	case a.out.Tripped:
		a.out.Says = "The breaker opens."
	case p.tripped:
		a.out.Says = "The breaker is open, and everything is dark."
		return
	default:
		a.out.Lights, _ = p.it.look(p.handles)
		a.out.Says = sayLights(a.out.Lights) + "."
	}
	p.keep(func(b *bench) bool {
		seen, tripped := b.look(p.handles)
		return tripped == a.out.Tripped && slices.Equal(seen, a.out.Lights)
	})
}

// sayLights returns "aisle light 1 lit, aisle light 2 dark".
func sayLights(lights []trace.Seen) string {
	if len(lights) == 0 {
		return "There is no light"
	}
	var out []string
	for _, l := range lights {
		out = append(out, l.Light.Name+" "+l.Glow.String())
	}
	return strings.Join(out, ", ")
}

// rulesOut leaves the suspects that would have given the same outcome; one that has no
// answer is kept.
func (a *act) rulesOut(same func(*bench) (bool, error)) {
	a.p.keep(func(b *bench) bool {
		ok, err := same(b)
		return ok || err != nil
	})
}

func (a *act) read(m Move) error {
	p, e := a.p, trace.DefaultEffort()
	nominal := p.it.w.Spec().Supply.LineToNeutral
	v, err := p.it.volts(p.handles, p.on(), m.Points[0], m.Points[1])
	if err != nil {
		return err
	}
	a.goes(m.Points[0].Place)
	a.takes(e.Reading)
	if m.Points[1].Place != m.Points[0].Place {
		a.takes(e.Lead)
	}
	r := trace.Reading{At: p.Handles(), Red: m.Points[0], Black: m.Points[1], Meter: steady.LowImpedance, Shows: v}
	a.out.Reading = &r
	a.out.Says = fmt.Sprintf("The tester shows %s.", v.Format(quantity.Volt, 0))
	if !p.proven[m.Points[1]] {
		a.danger(UnprovenReference, "")
		return nil // it rules nothing out
	}
	comes := r.Comes(nominal)
	a.rulesOut(func(b *bench) (bool, error) {
		v, err := b.volts(p.handles, p.on(), m.Points[0], m.Points[1])
		q := r
		q.Shows = v
		was := q.Comes(nominal)
		return was == comes || was == trace.Ambiguous || comes == trace.Ambiguous, err
	})
	return nil
}

func (a *act) continuity(m Move) error {
	p, e := a.p, trace.DefaultEffort()
	path, err := p.it.ohms(p.handles, m.Points[0], m.Points[1])
	if err != nil {
		return err
	}
	a.goes(m.Points[0].Place)
	a.takes(e.Continuity)
	if m.Points[1].Place != m.Points[0].Place {
		a.takes(e.Lead)
	}
	if !p.locked {
		a.danger(OhmsLive, "")
		a.out.Says = "The circuit is not locked out: what the ohmmeter shows means nothing."
		return nil
	}
	if !p.dead[m.Points[0].Place] || !p.dead[m.Points[1].Place] {
		a.danger(NotProvenDead, "")
	}
	a.out.Path = path
	a.out.Says = "The ohmmeter finds " + map[trace.Path]string{trace.Open: "no way", trace.Through: "a way through a load", trace.Joined: "them joined"}[path] + "."
	// Metal rules out; what a load reads as depends on the load.
	p.keep(func(b *bench) bool {
		at := metal(b.w, p.handles)
		return (at(m.Points[0]) == at(m.Points[1])) == (path == trace.Joined)
	})
	return nil
}

// touches notes the dangers of touching conductors in a box, or in any for no box.
func (a *act) touches(box string) {
	switch p := a.p; {
	case !p.locked:
		a.danger(WorkLive, "")
	case box != "" && !p.dead[box]:
		a.danger(NotProvenDead, "")
	}
}

// joint returns what a point is in a splice.
func (p *Practice) joint(t switchnet.Terminal) wiring.Joint {
	if _, ok := p.end(t); ok {
		return wiring.WireJoint(t.Device, t.Name)
	}
	return wiring.Joint{Device: t.Device, Terminal: t.Name}
}

// end returns the wire's end that a point is, or false for a screw.
func (p *Practice) end(t switchnet.Terminal) (wiring.End, bool) {
	e := wiring.End{Box: t.Place, Wire: wiring.Wire{Cable: t.Device, Conductor: t.Name}}
	return e, slices.Contains(p.it.w.Ends(t.Place), e)
}

// change lifts, caps, lands or splices.
func (a *act) change(m Move) error {
	p := a.p
	box := m.Points[0].Place
	end, isEnd := p.end(m.Points[0])
	var edit wiring.Edit
	switch m.Verb {
	case LiftEnd:
		edit = wiring.Release{End: end}
		if !isEnd {
			edit = wiring.ClearTerminal{Of: m.Points[0].Owner(), Terminal: m.Points[0].Name}
		}
	case CapEnd:
		edit = wiring.CapEnd{End: end}
	case LandEnd:
		if m.Points[1].Place != box {
			return fmt.Errorf("lab: %s and %s are not in one box", pointText(m.Points[0]), pointText(m.Points[1]))
		}
		edit = wiring.MoveLanding{End: end, Device: m.Points[1].Device, Terminal: m.Points[1].Name}
	case SpliceEnd:
		if m.Points[1].Place != box {
			return fmt.Errorf("lab: %s and %s are not in one box", pointText(m.Points[0]), pointText(m.Points[1]))
		}
		edit = wiring.JoinSplice{Box: box, Join: []wiring.Joint{p.joint(m.Points[1]), p.joint(m.Points[0])}}
	}
	if (m.Verb == CapEnd || m.Verb == LandEnd) && !isEnd {
		return fmt.Errorf("lab: %s is no wire's end", pointText(m.Points[0]))
	}
	w, err := p.it.w.Apply(edit)
	if err != nil {
		return fmt.Errorf("lab: %s: %w", m, err)
	}
	a.goes(box)
	a.takes(trace.DefaultEffort().Reading)
	a.touches(box)
	p.past = append(p.past, moment{p.it, p.suspects, maps.Clone(p.lifted)})
	before := p.it.w
	p.it = newBench(w, p.it.table)
	var left []*bench
	for _, b := range p.suspects {
		// What cannot be done there is done nowhere: the suspect is ruled out.
		if w, err := b.w.Apply(edit); err == nil {
			left = append(left, newBench(w, b.table))
		}
	}
	p.suspects = left
	// What now hangs and did not before was lifted; what does not hang any more was not.
	for _, e := range w.Ends(box) {
		use, _ := w.Use(e)
		was, _ := before.Use(e)
		switch {
		case use != wiring.Hanging:
			delete(p.lifted, e)
		case was != wiring.Hanging:
			p.lifted[e] = true
		}
	}
	a.out.Says = "Done."
	a.changed()
	return nil
}

// changed notes what it does that the wiring was changed with the circuit on.
func (a *act) changed() {
	clear(a.p.proven)
	if a.p.on() {
		a.energized()
		if a.out.Tripped {
			a.out.Says = "The breaker opens."
		}
	}
}
