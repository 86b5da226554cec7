package allstates

import (
	"context"
	"strings"
	"testing"

	"example.com/switchleg/switchnet"
)

// stages are the parts of an analysis of one load, each with what it needs.
type stages struct {
	net *switchnet.Net
	a   *Analysis
	q   *query
	d   *diagram
	l   *Load
}

func newStages(b *testing.B, net *switchnet.Net) *stages {
	b.Helper()
	s := &stages{net: net}
	for _, stage := range []func(*stages) error{(*stages).frame, (*stages).arrange, (*stages).sweep, (*stages).minimise} {
		if err := stage(s); err != nil {
			b.Fatal(err)
		}
	}
	return s
}

func (s *stages) frame() (err error) {
	s.a, err = Analyze(context.Background(), s.net, nil)
	return err
}

func (s *stages) arrange() error {
	s.q = &query{f: s.a.f, classify: true, targets: []target{{load: 0}}}
	w := s.a.take()
	s.q.prepare(w.walker)
	s.a.give(w)
	return nil
}

func (s *stages) sweep() (err error) {
	w := s.a.take()
	defer s.a.give(w)
	w.sweep.reset(s.q, context.Background(), s.a.budget)
	s.d, err = w.sweep.run()
	return err
}

func (s *stages) analyse() error {
	if err := s.frame(); err != nil {
		return err
	}
	if err := s.arrange(); err != nil {
		return err
	}
	return s.sweep()
}

func (s *stages) minimise() error {
	s.l = s.a.newLoad(0, s.d)
	return nil
}

func (s *stages) toggle() error {
	t, err := s.l.Toggles()
	sink = t.Proven()
	return err
}

func (s *stages) count() error {
	sink = s.l.r.count(isOn).zero()
	return nil
}

func (s *stages) effects() error {
	sink = len(s.l.effects()) == 0
	return nil
}

// questions asks everything about a load and the net.
func (s *stages) questions() error {
	ctx := context.Background()
	a, err := Analyze(ctx, s.net, nil)
	if err != nil {
		return err
	}
	l, err := a.Load(ctx, chainLamp)
	if err != nil {
		return err
	}
	t, err := l.Toggles()
	if err != nil {
		return err
	}
	short, err := a.Find(ctx, Shorted())
	if err != nil {
		return err
	}
	dirty, err := l.CleanWhenOff(ctx)
	if err != nil {
		return err
	}
	idle := 0
	for _, n := range l.WithoutEffect() {
		idle += n.Sign()
	}
	sink = t.Proven() && short.Empty() && len(dirty) == 0 && idle == 0 && l.Count(switchnet.Lit).Sign() > 0 && len(l.Matters()) == 6
	return nil
}

// sink keeps results alive.
var sink bool

func (s *stages) run(b *testing.B, stage func(*stages) error) {
	b.ReportAllocs()
	start := cpuTime()
	for b.Loop() {
		if err := stage(s); err != nil {
			b.Fatal(err)
		}
	}
	// On a machine that others share, processor time says more than the wall.
	b.ReportMetric(float64(cpuTime()-start)/float64(b.N), "cpu-ns/op")
}

// BenchmarkStages times the steps of one analysis apart, from a built net. The
// devices of a chain are turned at random, so that no two layers need be alike;
// names of a shuffled chain are in random order along it; a periodic chain has
// every device turned the same way and is shown apart.
func BenchmarkStages(b *testing.B) {
	for _, c := range FigureNets() {
		b.Run(strings.ReplaceAll(c.Name, " ", "_"), func(b *testing.B) {
			s := newStages(b, c.Net())
			b.Run("analyse", func(b *testing.B) { s.run(b, (*stages).analyse) })
			b.Run("minimise", func(b *testing.B) { s.run(b, (*stages).minimise) })
			b.Run("toggle", func(b *testing.B) { s.run(b, (*stages).toggle) })
			b.Run("count", func(b *testing.B) { s.run(b, (*stages).count) })
			b.Run("effects", func(b *testing.B) { s.run(b, (*stages).effects) })
		})
	}
}

// BenchmarkSixPlaces asks all questions about a group of six places, the analysis
// included.
func BenchmarkSixPlaces(b *testing.B) {
	s := &stages{net: chainNet(6, 1, false)}
	s.run(b, (*stages).questions)
	if !sink {
		b.Fatal("the group is not proven")
	}
}

// BenchmarkEdit asks a yes-or-no question again after a change to one device of a
// chain: the travelers on one side of a four-way exchanged, and every device in
// turn replaced by a kind that is stuck.
func BenchmarkEdit(b *testing.B) {
	ctx := context.Background()
	net := chainNet(100_000, 1, false)
	a, err := Analyze(ctx, net, nil)
	if err != nil {
		b.Fatal(err)
	}
	e, err := a.Editor(ctx, LoadIs(chainLamp, switchnet.Lit))
	if err != nil {
		b.Fatal(err)
	}
	var four []switchnet.Ref
	for d := range net.Devices() {
		if d.Kind.Name == "four-way" {
			four = append(four, d.Ref)
		}
	}
	b.Run("exchange", func(b *testing.B) {
		b.ReportAllocs()
		i := 0
		for b.Loop() {
			if err := e.Exchange(ctx, four[i%len(four)], "pair 1 first", "pair 1 second"); err != nil {
				b.Fatal(err)
			}
			sink = e.Possible()
			i += 7919
		}
	})
	open := switchnet.FourWay()
	open.Name = "four-way, one contact open"
	open.Positions[0].Joins = open.Positions[0].Joins[:1]
	b.Run("replace", func(b *testing.B) {
		b.ReportAllocs()
		i := 0
		for b.Loop() {
			kind := open
			if i&1 == 1 {
				kind = switchnet.FourWay()
			}
			if err := e.Replace(ctx, four[(i/2)*7919%len(four)], kind, nil); err != nil {
				b.Fatal(err)
			}
			sink = e.Possible()
			i++
		}
	})
}
