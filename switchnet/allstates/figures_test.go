package allstates

import (
	"context"
	"runtime"

	"example.com/switchleg/switchnet"
)

// FigureNet is a net of the table of figures.
type FigureNet struct {
	Name string
	Net  func() *switchnet.Net
}

// FigureNets are those of the table and of BenchmarkStages.
func FigureNets() []FigureNet {
	chain := func(n int, seed uint64, shuffled bool) func() *switchnet.Net {
		return func() *switchnet.Net { return chainNet(n, seed, shuffled) }
	}
	return []FigureNet{
		{"chain of 10^2", chain(100, 1, false)},
		{"chain of 10^3", chain(1_000, 1, false)},
		{"chain of 10^4", chain(10_000, 1, false)},
		{"chain of 10^5", chain(100_000, 1, false)},
		{"chain of 10^5, shuffled", chain(100_000, 1, true)},
		{"chain of 10^5, periodic", chain(100_000, 0, false)},
		{"chain of 10^6", chain(1_000_000, 1, false)},
		{"tree of 2,046 four-ways", func() *switchnet.Net { return treeNet(10) }},
		{"grid of 7 x 40, 513 switches", func() *switchnet.Net { return gridNet(7, 40) }},
	}
}

// NewFigure makes the stages of a net ready.
func NewFigure(net *switchnet.Net) *stages { return &stages{net: net} }

// Stages returns the steps in order; each needs those before.
func (s *stages) Stages() []func() error {
	var out []func() error
	for _, f := range []func(*stages) error{(*stages).analyse, (*stages).minimise, (*stages).toggle, (*stages).count, (*stages).effects} {
		out = append(out, func() error { return f(s) })
	}
	return out
}

// Nodes returns the nodes that the diagram stores.
func (s *stages) Nodes() int { return s.d.nodes }

// Megabytes returns what analysis and minimisation allocate.
func (s *stages) Megabytes() float64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if err := s.analyse(); err != nil {
		return 0
	}
	if err := s.minimise(); err != nil {
		return 0
	}
	runtime.ReadMemStats(&after)
	return float64(after.TotalAlloc-before.TotalAlloc) / 1e6
}

// FigureQuestion is a question asked many times over.
type FigureQuestion struct {
	Name  string
	Times int
	Run   func() error
}

// FigureQuestions are the last part of the table.
func FigureQuestions() []FigureQuestion {
	ctx := context.Background()
	six := &stages{net: chainNet(6, 1, false)}
	a, err := Analyze(ctx, chainNet(100_000, 1, false), nil)
	if err != nil {
		panic(err)
	}
	e, err := a.Editor(ctx, LoadIs(chainLamp, switchnet.Lit))
	if err != nil {
		panic(err)
	}
	devices := a.Devices()
	open := switchnet.FourWay()
	open.Name = "four-way, one contact open"
	open.Positions[0].Joins = open.Positions[0].Joins[:1]
	kinds := [2]switchnet.Kind{open, switchnet.FourWay()}
	i, j := 0, 0
	return []FigureQuestion{
		{"a group of six places, analysis and all questions", 200, six.questions},
		{"chain of 10^5: can it be lit, after two conductors of a four-way are exchanged", 1000, func() error {
			i = (i + 7919) % (len(devices) - 2)
			err := e.Exchange(ctx, devices[1+i], "pair 1 first", "pair 1 second")
			sink = e.Possible()
			return err
		}},
		{"chain of 10^5: can it be lit, after a four-way is replaced by one with an open contact, or back", 1000, func() error {
			j++
			err := e.Replace(ctx, devices[1+j/2*7919%(len(devices)-2)], kinds[j&1], nil)
			sink = e.Possible()
			return err
		}},
	}
}
