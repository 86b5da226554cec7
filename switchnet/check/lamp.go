package check

import (
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// lamp is a light of the job with what it does in every state.
type lamp struct {
	light *wiring.Light
	ref   switchnet.Ref
	ends  [2]switchnet.Terminal
	piece [2]int32
	load  *allstates.Load
	law   allstates.Law

	places []switchnet.Ref // that its control names, if it is wanted by one
	wanted bool
}

// lamps returns the lights of the job in name order.
func (p *Pass) lamps() ([]lamp, error) {
	if p.all != nil {
		return p.all, nil
	}
	a, err := p.Analysis()
	if err != nil {
		return nil, err
	}
	m := p.metal()
	controls := p.job.Intent.Controls
	of := map[string]int{} // by light: its control
	places := make([][]switchnet.Ref, len(controls))
	for i := range controls {
		places[i], _ = controls[i].Switches(p.job.Wiring)
		for _, name := range controls[i].Lights {
			if _, ok := of[name]; !ok {
				of[name] = i
			}
		}
	}
	out := make([]lamp, 0, len(p.spec.Lights))
	for i := range p.spec.Lights {
		v := &p.spec.Lights[i]
		l := lamp{light: v, ref: switchnet.Ref{Place: v.Box, Name: v.Name}}
		if l.load, err = a.Load(p.ctx, l.ref); err != nil {
			return nil, err
		}
		l.law = l.load.Law()
		load, _ := a.Net().Load(l.ref)
		l.ends = load.Terminals()
		for e, t := range l.ends {
			l.piece[e], _ = m.on(t)
		}
		if i, ok := of[v.Name]; ok {
			l.places, l.wanted = places[i], true
		}
		out = append(out, l)
	}
	slices.SortFunc(out, func(a, b lamp) int { return a.ref.Compare(b.ref) })
	p.all = out
	return out, nil
}

// earthed reports which end of a lamp is joined for good to a neutral or ground and to
// no hot: 0, 1, or -1 for neither, and -2 for both.
func (l *lamp) earthed(m *metal) int {
	solid := func(e int) bool {
		x := l.piece[e]
		return len(m.neutral[x])+len(m.ground[x]) > 0 && len(m.hot[x]) == 0
	}
	switch {
	case solid(0) && solid(1):
		return -2
	case solid(0):
		return 0
	case solid(1):
		return 1
	}
	return -1
}

// wiredIn reports whether a light is part of the building, and not plugged into it.
func (l *lamp) wiredIn() bool { return l.light.On == "" }

// controlled returns the places that are meant to toggle a light: those of its control,
// or without controls the switches that matter to it. The second result is false for a
// light that no control names where there are controls.
func (p *Pass) controlled(l *lamp) ([]switchnet.Ref, bool) {
	if len(p.job.Intent.Controls) == 0 {
		return l.law.Matter, true
	}
	return l.places, l.wanted
}

// names lists refs in words.
func names(refs []switchnet.Ref) string {
	words := make([]string, len(refs))
	for i, r := range refs {
		words[i] = r.String()
	}
	return list(words)
}
