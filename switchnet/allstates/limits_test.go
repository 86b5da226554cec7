package allstates_test

import (
	"context"
	"errors"
	"fmt"
	"math/big"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// counted is a context that counts how often it is looked at, and ends after some
// looks.
type counted struct {
	context.Context
	looks, last int
}

func (c *counted) Err() error {
	c.looks++
	if c.last > 0 && c.looks >= c.last {
		return context.Canceled
	}
	return nil
}

// TestContextIsLookedAt wants a look at the context for a fixed amount of work: so
// many layers of a chain, so many nodes of a grid.
func TestContextIsLookedAt(t *testing.T) {
	rows := []struct {
		why   string
		net   *switchnet.Net
		least int
	}{
		{"a short chain is done between two looks", allstates.ChainNet(100, 1, false), 1},
		{"a long chain has many layers", allstates.ChainNet(200_000, 1, false), 10},
		{"a grid has few layers and many nodes", allstates.GridNet(7, 20), 5},
	}
	for _, r := range rows {
		ctx := &counted{Context: context.Background()}
		a, err := allstates.Analyze(ctx, r.net, nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := a.Load(ctx, allstates.ChainLamp); err != nil {
			t.Fatal(err)
		}
		if ctx.looks < r.least {
			t.Errorf("%s: %d looks, want at least %d", r.why, ctx.looks, r.least)
		}
		for last := 1; last <= ctx.looks; last += 1 + ctx.looks/5 {
			ended := &counted{Context: context.Background(), last: last}
			a, err := allstates.Analyze(ended, r.net, nil)
			if err == nil {
				_, err = a.Load(ended, allstates.ChainLamp)
			}
			if !errors.Is(err, context.Canceled) || ended.looks != last {
				t.Errorf("%s: ended at look %d, error %v after %d", r.why, last, err, ended.looks)
			}
		}
	}
}

// TestTooWide wants the error for a knot, not a hang, and what it says of it.
func TestTooWide(t *testing.T) {
	ctx := context.Background()
	rows := []struct {
		why    string
		net    *switchnet.Net
		budget int
	}{
		{"a square grid, default budget", allstates.GridNet(16, 16), 0},
		{"a small grid, small budget", allstates.GridNet(5, 5), 100},
	}
	for _, r := range rows {
		a, err := allstates.Analyze(ctx, r.net, &allstates.Options{Budget: r.budget})
		if err != nil {
			t.Fatal(err)
		}
		_, err = a.Load(ctx, allstates.ChainLamp)
		var knot *allstates.BudgetError
		if !errors.As(err, &knot) {
			t.Fatalf("%s: %v", r.why, err)
		}
		if _, ok := r.net.Device(knot.Device); !ok || knot.Layer < 1 || knot.Layer > knot.Layers || len(knot.Open) < 2 ||
			knot.Configurations < 2 || knot.Nodes <= knot.Budget || !slices.IsSortedFunc(knot.Open, switchnet.Terminal.Compare) {
			t.Errorf("%s: %+v", r.why, knot)
		}
		for _, x := range knot.Open {
			if !r.net.Has(x) {
				t.Errorf("%s: open terminal %v is not in the net", r.why, x)
			}
		}
		// The analysis is as good as before for what is not knotted.
		if _, err := a.Find(ctx, allstates.Shorted()); err != nil {
			t.Errorf("%s: after the knot: %v", r.why, err)
		}
	}
}

// TestTooWideToEdit wants the error of an editor that cannot keep a question ready
// which the analysis answers, and what it says of the knot.
func TestTooWideToEdit(t *testing.T) {
	ctx := context.Background()
	net := allstates.GridNet(9, 9)
	a, err := allstates.Analyze(ctx, net, nil)
	if err != nil {
		t.Fatal(err)
	}
	claim := allstates.LoadIs(allstates.ChainLamp, switchnet.Lit)
	if s, err := a.Find(ctx, claim); err != nil || s.Empty() {
		t.Fatalf("the analysis does not answer: %v", err)
	}
	_, err = a.Editor(ctx, claim)
	var knot *allstates.BudgetError
	if !errors.As(err, &knot) {
		t.Fatalf("%v", err)
	}
	if _, ok := net.Device(knot.Device); !ok || !knot.Fixed || knot.Layer < 2 || knot.Layer >= knot.Layers || knot.Configurations <= knot.Budget {
		t.Errorf("%+v", knot)
	}
	if strings.Contains(err.Error(), "Options") {
		t.Errorf("%v: no option helps", err)
	}
}

// TestMemory analyses and proves a chain of 10^5 switches, with -long of 10^6,
// within 200 bytes a switch beyond the net.
func TestMemory(t *testing.T) {
	switches := 100_000
	if *long {
		switches = 1_000_000
	}
	ctx := context.Background()
	net := allstates.ChainNet(switches, 1, false)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	a, err := allstates.Analyze(ctx, net, nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := a.Load(ctx, allstates.ChainLamp)
	if err != nil {
		t.Fatal(err)
	}
	toggling, err := l.Toggles()
	if err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	if !toggling.Proven() {
		t.Error("the chain is not proven")
	}
	if total := after.TotalAlloc - before.TotalAlloc; total > uint64(200*switches) {
		t.Errorf("%d bytes allocated, want at most %d", total, 200*switches)
	}
	if lit := l.Count(switchnet.Lit); lit.BitLen() != switches || lit.TrailingZeroBits() != uint(switches-1) {
		t.Errorf("lit in other than 2^%d states", switches-1)
	}
	runtime.KeepAlive(net)
}

// TestConcurrent asks one analysis from many goroutines; run it with -race.
func TestConcurrent(t *testing.T) {
	ctx := context.Background()
	w := newWild(35, 7)
	net := w.build()
	a, err := allstates.Analyze(ctx, net, nil)
	if err != nil {
		t.Fatal(err)
	}
	say := func() string {
		var b strings.Builder
		for _, ld := range w.loads {
			l, err := a.Load(ctx, ld.Ref)
			if err != nil {
				return err.Error()
			}
			fmt.Fprintln(&b, l.Law(), l.Count(switchnet.Lit), slices.Collect(l.States(switchnet.Lit).All()))
		}
		return b.String()
	}
	want := say()
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 20 {
				if got := say(); got != want {
					t.Errorf("%s\nwant\n%s", got, want)
				}
			}
		})
	}
	wg.Wait()
}

// TestMistakes wants each mistake told, and all of them at once.
func TestMistakes(t *testing.T) {
	ctx := context.Background()
	net := allstates.ChainNet(3, 1, false)
	other := allstates.ChainNet(3, 1, false)
	a, err := allstates.Analyze(ctx, net, nil)
	if err != nil {
		t.Fatal(err)
	}
	nobody := switchnet.Ref{Place: "attic", Name: "nobody"}
	breaker := switchnet.Ref{Place: "panel", Name: "breaker"}
	sw := a.Devices()[0]
	l, err := a.Load(ctx, allstates.ChainLamp)
	if err != nil {
		t.Fatal(err)
	}
	find := func(c ...allstates.Claim) func() error {
		return func() error { _, err := a.Find(ctx, c...); return err }
	}
	analyze := func(o allstates.Options) func() error {
		return func() error { _, err := allstates.Analyze(ctx, net, &o); return err }
	}
	rows := []struct {
		why  string
		ask  func() error
		want []allstates.Code
	}{
		{"a load that is not there", func() error { _, err := a.Load(ctx, nobody); return err }, []allstates.Code{allstates.UnknownLoad}},
		{"a switch that is not there and one that is held", func() error { _, err := l.Toggles(nobody, breaker); return err },
			[]allstates.Code{allstates.UnknownDevice, allstates.NotVaried}},
		{"a switch twice", func() error { _, err := l.Toggles(sw, sw); return err }, []allstates.Code{allstates.Repeated}},
		{"claims about nothing", find(allstates.LoadIs(nobody, switchnet.Lit), allstates.TerminalIs(nobody.Terminal("x"), switchnet.Live), allstates.Positioned(nobody, "up")),
			[]allstates.Code{allstates.UnknownLoad, allstates.UnknownTerminal, allstates.UnknownDevice}},
		{"no status, no condition, no position", find(allstates.LoadIs(allstates.ChainLamp), allstates.TerminalIs(sw.Terminal("common")), allstates.Positioned(sw)),
			[]allstates.Code{allstates.BadValue, allstates.BadValue, allstates.BadValue}},
		{"a status that does not exist", find(allstates.LoadIs(allstates.ChainLamp, 9)), []allstates.Code{allstates.BadValue}},
		{"a position of a breaker that is held, and one that does not exist", find(allstates.Positioned(breaker, "off"), allstates.Positioned(sw, "sideways")),
			[]allstates.Code{allstates.NotVaried, allstates.UnknownPosition}},
		{"the zero claim", find(allstates.Claim{}), []allstates.Code{allstates.BadValue}},
		{"varied devices that are not there, and twice; a negative budget; a state of another net",
			analyze(allstates.Options{Vary: []switchnet.Ref{sw, nobody, sw}, Budget: -1, Hold: other.Rest()}),
			[]allstates.Code{allstates.ForeignState, allstates.UnknownDevice, allstates.Repeated, allstates.BadValue}},
		{"nearest to a state of another net", func() error {
			s, err := a.Find(ctx)
			if err != nil {
				return err
			}
			_, _, _, err = s.Nearest(other.Rest())
			return err
		}, []allstates.Code{allstates.ForeignState}},
		{"no sort of transit", func() error { _, err := allstates.AnalyzeTransit(ctx, net, 0, nil); return err }, []allstates.Code{allstates.BadValue}},
	}
	for _, r := range rows {
		err := r.ask()
		list := []error{err}
		if many, ok := err.(interface{ Unwrap() []error }); ok {
			list = many.Unwrap()
		}
		var got []allstates.Code
		for _, e := range list {
			var one *allstates.Error
			if !errors.As(e, &one) || one.Subject == "" || one.Detail == "" {
				t.Errorf("%s: error %v", r.why, e)
				continue
			}
			got = append(got, one.Code)
		}
		if !slices.Equal(got, r.want) {
			t.Errorf("%s: %v, want %v: %v", r.why, got, r.want, err)
		}
	}
}

// TestTransit: a plain chain neither shorts at rest nor on the way; with hot and
// neutral on the throws of one three-way, a contact that makes before it breaks
// shorts them, and only on the way.
func TestTransit(t *testing.T) {
	ctx := context.Background()
	var b switchnet.Builder
	src := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()}
	sw := switchnet.Ref{Place: "door", Name: "aisle"}
	b.Source(src)
	b.Device(sw.Place, sw.Name, switchnet.ThreeWay())
	b.Load(switchnet.Load{Ref: allstates.ChainLamp})
	b.Conductor("hot", src.Rail(switchnet.LineA), sw.Terminal("traveler 1"))
	b.Conductor("neutral", src.Rail(switchnet.Neutral), sw.Terminal("traveler 2"))
	b.Conductor("leg", sw.Terminal("common"), allstates.ChainLamp.Terminal("hot"))
	b.Conductor("return", src.Rail(switchnet.Neutral), allstates.ChainLamp.Terminal("neutral"))
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	rows := []struct {
		transit switchnet.Transit
		states  int64
		short   int64
		why     string
	}{
		{0, 2, 0, "at rest the common is on one throw or the other"},
		{switchnet.BreakBeforeMake, 3, 0, "half way it is on neither"},
		{switchnet.MakeBeforeBreak, 3, 1, "half way it is on both"},
	}
	for _, r := range rows {
		a, err := allstates.Analyze(ctx, net, nil)
		if r.transit != 0 {
			a, err = allstates.AnalyzeTransit(ctx, net, r.transit, &allstates.Options{Hold: net.Rest()})
		}
		if err != nil {
			t.Fatal(err)
		}
		s, err := a.Find(ctx, allstates.Shorted())
		if err != nil {
			t.Fatal(err)
		}
		if a.States().Int64() != r.states || s.Count().Int64() != r.short {
			t.Errorf("%v of %v states shorted, want %d of %d: %s", s.Count(), a.States(), r.short, r.states, r.why)
		}
	}
}

// TestManyInSeries: locator-lit switches in a row hang together through their
// lamps, so that what the past means is a graph of loads; it is kept small, and a
// row of two thousand is answered.
func TestManyInSeries(t *testing.T) {
	ctx := context.Background()
	const n = 2000
	var b switchnet.Builder
	src := switchnet.Source{Ref: switchnet.Ref{Place: "panel", Name: "service"}, System: switchnet.SplitPhase()}
	b.Source(src)
	b.Load(switchnet.Load{Ref: allstates.ChainLamp})
	last := src.Rail(switchnet.LineA)
	for i := range n {
		r := switchnet.Ref{Place: fmt.Sprintf("p%04d", i), Name: "aisle"}
		b.Device(r.Place, r.Name, switchnet.LocatorSinglePole())
		b.Conductor(r.Place, last, r.Terminal("line"))
		last = r.Terminal("load")
	}
	b.Conductor("leg", last, allstates.ChainLamp.Terminal("hot"))
	b.Conductor("neutral", src.Rail(switchnet.Neutral), allstates.ChainLamp.Terminal("neutral"))
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	a, err := allstates.Analyze(ctx, net, nil)
	if err != nil {
		t.Fatal(err)
	}
	l, err := a.Load(ctx, allstates.ChainLamp)
	if err != nil {
		t.Fatal(err)
	}
	dim := new(big.Int).Sub(a.States(), big.NewInt(1))
	if l.Count(switchnet.Lit).Int64() != 1 || l.Count(switchnet.Dim).Cmp(dim) != 0 {
		t.Error("the lamp is not lit with all switches on and in series with locators in every other state")
	}
	if law := l.Law(); law.Kind != allstates.LitOnlyWhen || !law.Enough || len(law.Needs) != n || law.Needs[0].Positions[0] != "on" {
		t.Errorf("law: %v", law)
	}
}

// TestTree: the order that takes the heaviest branch first keeps a tree of runs
// within the budget, whatever its size; breadth first would have a thousand nets
// open.
func TestTree(t *testing.T) {
	ctx := context.Background()
	a, err := allstates.Analyze(ctx, allstates.TreeNet(10), &allstates.Options{Budget: 500_000})
	if err != nil {
		t.Fatal(err)
	}
	l, err := a.Load(ctx, allstates.ChainLamp)
	if err != nil {
		t.Fatal(err)
	}
	lit, unlit := l.Count(switchnet.Lit), l.Count(switchnet.Unlit)
	if lit.Sign() == 0 || unlit.Sign() == 0 || new(big.Int).Add(lit, unlit).Cmp(a.States()) != 0 {
		t.Errorf("lit in %d-bit, unlit in %d-bit number of states", lit.BitLen(), unlit.BitLen())
	}
}
