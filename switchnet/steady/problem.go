package steady

import (
	"cmp"
	"slices"
	"sync"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// A Problem is a wiring with everything that its electrical solution needs to
// know. It is immutable and safe for concurrent use.
type Problem struct {
	w   *wiring.Wiring
	net *switchnet.Net
	opt Options
	nw  *network

	hertz   float64
	notes   []Note // what no state changes
	refused bool
	feeds   map[switchnet.Ref]quantity.Current // breaker ratings
	spares  sync.Pool                          // of *solver
}

// New returns the problem of a wiring, with the impedance of its conductors from a
// region's table, or everything that is wrong with the question as [Errors]: a
// cable without a length, a light without power, a conductor that the table does
// not have, an option that names what is not there. A nil opt means all defaults.
// What is well formed and has no answer is not an error: [Problem.Solve] says so
// with a status.
//
// The order of elimination is found here, once for the wiring. Time and memory are
// near linear in the number of terminals for wirings whose cables form a tree.
func New(w *wiring.Wiring, table *conductor.Table, opt *Options) (*Problem, error) {
	if err := w.Check(); err != nil {
		return nil, Errors{{"wiring", "is none; wiring.New makes one from a Spec"}}
	}
	p := &Problem{w: w, net: w.Net(), nw: &network{}, feeds: map[switchnet.Ref]quantity.Current{}}
	if opt != nil {
		p.opt = *opt
	}
	x := &building{w: w, net: p.net, spec: w.Spec(), opt: &p.opt, nw: p.nw}
	p.opt.check(&x.errs)
	p.hertz = float64(p.opt.Frequency) / float64(Hertz)
	if p.opt.Frequency == 0 {
		p.hertz = 60
		if p.net.Source().System.LineToNeutral > 200*quantity.Volt {
			p.hertz = 50
		}
	}
	x.fig = &figures{table: table, opt: &p.opt, hertz: p.hertz, known: map[conductorFigure]complex128{}}
	if table == nil {
		x.errs.add("table", "is nil; take one from package rules, or fill one in")
		return nil, x.errs
	}
	x.build()
	if len(x.errs) > 0 {
		return nil, x.errs
	}
	for _, f := range x.spec.Feeds {
		p.feeds[switchnet.Ref{Place: f.Box, Name: f.Name}] = f.Breaker
	}
	p.notes = x.joins.notes
	slices.SortStableFunc(p.notes, func(a, b Note) int { return cmp.Compare(b.Status, a.Status) })
	p.refused = len(p.notes) > 0 && p.notes[0].Status == SourceOnSource
	// What the maps of the options say is in the network now.
	p.opt.Loads, p.opt.Loose = nil, nil
	p.opt.Branches, p.opt.Sources = nil, nil
	return p, nil
}

// Wiring returns the wiring the problem was made from.
func (p *Problem) Wiring() *wiring.Wiring { return p.w }

// Nodes returns the number of unknown potentials, and Fill the number of entries
// that the elimination keeps for them: the size of the problem.
func (p *Problem) Nodes() (nodes, fill int) { return p.nw.n, p.nw.symbolic.Fill() }

// given returns an error for a problem that New did not make.
func (p *Problem) given() error {
	if p == nil || p.net == nil {
		return Errors{{"problem", "is none; steady.New makes one from a wiring"}}
	}
	return nil
}

// Solve returns the steady state of the wiring in a state of its net,
// switchnet.Net.Rest for the zero State. A state of another net is an error; whatever else stands in
// the way is told by [Solution.Status].
//
// Cost is linear in [Problem.Nodes] and its fill for each round of the iteration
// over loads; with resistive loads alone there is one round.
func (p *Problem) Solve(state switchnet.State) (*Solution, error) {
	if err := p.given(); err != nil {
		return nil, err
	}
	state, err := p.state(state)
	if err != nil {
		return nil, err
	}
	s := p.solver()
	defer p.spares.Put(s)
	return s.solution(state), nil
}

func (p *Problem) state(state switchnet.State) (switchnet.State, error) {
	if state.Net() == nil {
		return p.net.Rest(), nil
	}
	if state.Net() != p.net {
		return state, Errors{{"state", "is of another net; make it from the net of the problem's wiring, or carry it over with State.On"}}
	}
	return state, nil
}

func (p *Problem) solver() *solver {
	if s, ok := p.spares.Get().(*solver); ok {
		return s
	}
	return newSolver(p)
}
