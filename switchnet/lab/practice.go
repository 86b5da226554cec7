package lab

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"example.com/switchleg/conductor"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/trace"
	"example.com/switchleg/switchnet/wiring"
)

// MaxMoves is how many moves practice wiring takes.
const MaxMoves = 10_000

// PracticeOptions say how practice wiring starts and what may be done to it.
type PracticeOptions struct {
	// Table has what meters need to know of conductors. It must be set.
	Table *conductor.Table
	// Drawn is the wiring as the student is told it is, from which switches, positions
	// and points have their names; nil means the wiring itself.
	Drawn *wiring.Wiring
	// Suspects are all that it may be by what the student is told. A flip that would be
	// a bolted fault under one that nothing has ruled out yet is a danger. Nil means
	// that the student knows what it is: the wiring itself alone.
	Suspects []*wiring.Wiring
	// Allow lists the verbs that may be used; nil means all.
	Allow []Verb
	// Dead says that it starts locked out, and Tripped that the breaker has opened
	// before and was not reset.
	Dead, Tripped bool
	// Handles are where handles stand at the start, by their drawn positions; those that
	// are left out stand in their first.
	Handles trace.Setting
}

// A Practice is practice wiring: it answers flips, looks and meters, lets ends be lifted
// and landed, and keeps a log of every move with its effort and its dangers. A move
// that is dangerous is made all the same, recorded, and explained: that is what
// practice is for.
//
// It is deterministic: the same moves on a fresh one give the same outcomes. It is for
// one goroutine.
type Practice struct {
	allow    []Verb
	drawn    *wiring.Wiring
	it       *bench
	suspects []*bench // what is still possible

	switches []switchnet.Ref
	points   map[switchnet.Terminal]bool
	boxes    map[string]bool
	handles  map[switchnet.Ref]int

	locked, tripped, onceTripped bool
	dead                         map[string]bool // boxes proven dead since the lock-out
	proven                       map[switchnet.Terminal]bool
	lifted                       map[wiring.End]bool
	where                        string
	past                         []moment

	log     []Outcome
	effort  time.Duration
	dangers []Danger
}

// moment is what a change of the wiring can be taken back to.
type moment struct {
	it       *bench
	suspects []*bench
	lifted   map[wiring.End]bool
}

// An Outcome is a move and what came of it.
type Outcome struct {
	Move Move
	// Lights are what the lights do, in name order, after Look, Flip, Energize and
	// Reset with the circuit on; nil where the breaker is open.
	Lights []trace.Seen
	// Tripped reports that the breaker opened with the move.
	Tripped bool
	// Shown is the outcome of ProvePoint and ProveDead: the source showed its volts;
	// the box is dead.
	Shown bool
	// Path is what an ohmmeter found; 0 where it was no use.
	Path trace.Path
	// Reading is what Read showed, with its points and the setting.
	Reading *trace.Reading
	// Effort is the working time that it took.
	Effort time.Duration
	// Dangers are those of the move, in the order of their kinds.
	Dangers []Danger
	// Says tells it in a sentence. The text is for reading and not stable.
	Says string
}

// NewPractice returns practice wiring: w is what is really there.
func NewPractice(w *wiring.Wiring, opt PracticeOptions) (*Practice, error) {
	if w.Check() != nil || opt.Table == nil {
		return nil, errors.New("lab: practice needs a wiring and a table of conductors")
	}
	for _, v := range opt.Allow {
		if _, err := v.MarshalText(); err != nil {
			return nil, err
		}
	}
	p := &Practice{
		allow: slices.Clone(opt.Allow), drawn: opt.Drawn, it: newBench(w, opt.Table),
		points: map[switchnet.Terminal]bool{}, boxes: map[string]bool{}, handles: map[switchnet.Ref]int{},
		dead: map[string]bool{}, proven: map[switchnet.Terminal]bool{}, lifted: map[wiring.End]bool{},
		locked: opt.Dead,
	}
	if p.drawn == nil {
		p.drawn = w
	}
	all := []*wiring.Wiring{w, p.drawn}
	for i, s := range opt.Suspects {
		if s == nil {
			return nil, fmt.Errorf("lab: suspect %d is nil", i)
		}
		p.suspects = append(p.suspects, newBench(s, opt.Table))
		all = append(all, s)
	}
	if opt.Suspects == nil {
		p.suspects = []*bench{newBench(w, opt.Table)}
	}
	for _, b := range p.drawn.Spec().Boxes {
		p.boxes[b.Name] = true
	}
	for d := range p.drawn.Net().Devices() {
		if d.Kind.Breaker || len(d.Kind.Positions) < 2 {
			continue
		}
		for _, v := range all {
			if _, ok := v.Net().Device(d.Ref); !ok {
				return nil, fmt.Errorf("lab: a wiring of the practice has no switch %s", d.Ref)
			}
		}
		p.switches = append(p.switches, d.Ref)
		p.handles[d.Ref] = 0
	}
	for t := range p.drawn.Net().Terminals() {
		ok := p.boxes[t.Place] && !p.it.ahead(t)
		for _, v := range all {
			ok = ok && v.Net().Has(t)
		}
		if ok {
			p.points[t] = true
		}
	}
	for _, h := range opt.Handles {
		d, ok := p.drawn.Net().Device(h.Switch)
		n, known := d.Kind.Position(h.Position)
		if !ok || !known || !slices.Contains(p.switches, h.Switch) {
			return nil, fmt.Errorf("lab: the practice has no switch %s with a position %q", h.Switch, h.Position)
		}
		p.handles[h.Switch] = n
	}
	if opt.Tripped {
		p.tripped, p.onceTripped = true, true
	}
	if p.on() {
		if _, tripped := p.it.look(p.handles); tripped {
			p.tripped, p.onceTripped = true, true
		}
		p.keep(func(b *bench) bool {
			_, tripped := b.look(p.handles)
			return tripped == p.tripped
		})
	}
	return p, nil
}

// Switches returns what can be flipped, in name order.
func (p *Practice) Switches() []switchnet.Ref { return slices.Clone(p.switches) }

// Boxes returns the boxes, in name order.
func (p *Practice) Boxes() []string { return slices.Sorted(maps.Keys(p.boxes)) }

// Points returns where a probe can be put, in name order.
func (p *Practice) Points() []switchnet.Terminal {
	return slices.SortedFunc(maps.Keys(p.points), switchnet.Terminal.Compare)
}

// Allowed returns the verbs that may be used, in their order.
func (p *Practice) Allowed() []Verb {
	var out []Verb
	for _, v := range Verbs() {
		if p.allows(v) {
			out = append(out, v)
		}
	}
	return out
}

func (p *Practice) allows(v Verb) bool { return p.allow == nil || slices.Contains(p.allow, v) }

// Handles returns how the handles stand, in name order, positions as they are drawn.
func (p *Practice) Handles() trace.Setting {
	var out trace.Setting
	for _, r := range p.switches {
		d, _ := p.drawn.Net().Device(r)
		out = append(out, trace.Handle{Switch: r, Position: d.Kind.Positions[p.handles[r]].Name})
	}
	return out
}

// Locked reports that every circuit is locked out.
func (p *Practice) Locked() bool { return p.locked }

// Tripped reports that the breaker has opened and was not reset.
func (p *Practice) Tripped() bool { return p.tripped }

// on reports whether the circuit is energized.
func (p *Practice) on() bool { return !p.locked && !p.tripped }

// Log returns the moves and their outcomes, in order.
func (p *Practice) Log() []Outcome { return slices.Clone(p.log) }

// Effort returns the working time of all moves, by the times of trace.DefaultEffort.
func (p *Practice) Effort() time.Duration { return p.effort }

// Dangers returns the dangerous moves, in order.
func (p *Practice) Dangers() []Danger { return slices.Clone(p.dangers) }

// keep leaves the suspects of which something is so.
func (p *Practice) keep(so func(*bench) bool) {
	var out []*bench
	for _, b := range p.suspects {
		if so(b) {
			out = append(out, b)
		}
	}
	p.suspects = out
}

// Do makes a move. An error means that it cannot be made: the wiring has not what it
// names, the verb is not allowed, or nothing is there to be done; then nothing has
// happened.
func (p *Practice) Do(m Move) (Outcome, error) {
	if err := p.possible(m); err != nil {
		return Outcome{}, err
	}
	a := &act{p: p, out: Outcome{Move: m}}
	if err := a.do(m); err != nil {
		return Outcome{}, err
	}
	slices.SortStableFunc(a.out.Dangers, func(x, y Danger) int { return int(x.Kind) - int(y.Kind) })
	p.effort += a.out.Effort
	p.dangers = append(p.dangers, a.out.Dangers...)
	p.log = append(p.log, a.out)
	return a.out, nil
}

// possible returns why a move cannot be made, or nil.
func (p *Practice) possible(m Move) error {
	if _, err := m.Verb.MarshalText(); err != nil {
		return err
	}
	if !p.allows(m.Verb) {
		return fmt.Errorf("lab: %s is not allowed in this exercise", m.Verb)
	}
	if len(p.log) >= MaxMoves {
		return fmt.Errorf("lab: the practice wiring takes %d moves: start again", MaxMoves)
	}
	switch shape := m.Verb.points(); {
	case m.Verb == Flip:
		if !slices.Contains(p.switches, m.Switch) {
			return fmt.Errorf("lab: there is no switch %s", refText(m.Switch))
		}
	case m.Verb == ProveDead:
		if !p.boxes[m.Box] {
			return fmt.Errorf("lab: there is no box %s", quoteName(m.Box))
		}
	default:
		for i := range shape {
			if !p.points[m.Points[i]] {
				return fmt.Errorf("lab: there is no point %s", pointText(m.Points[i]))
			}
		}
		if len(shape) == 2 && m.Points[0] == m.Points[1] {
			return fmt.Errorf("lab: %s is named twice", pointText(m.Points[0]))
		}
	}
	switch {
	case m.Verb == LockOut && p.locked:
		return errors.New("lab: it is locked out already")
	case m.Verb == Energize && !p.locked:
		return errors.New("lab: it is not locked out")
	case m.Verb == Reset && (p.locked || !p.tripped):
		return errors.New("lab: there is no breaker to reset")
	case m.Verb == Undo && len(p.past) == 0:
		return errors.New("lab: no change of the wiring is left to take back")
	}
	return nil
}
