package plan_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// Every plan of every random request holds what a plan promises.
func TestEveryPlanIsSound(t *testing.T) { rapid.Check(t, planned(t)) }

// FuzzPlan holds the same of requests that bytes spell.
func FuzzPlan(f *testing.F) { f.Fuzz(rapid.MakeFuzz(planned(f))) }

// planned is the law: a request is planned, or it is said what there is no room for.
func planned(t testing.TB) func(*rapid.T) {
	us := region(t, "us-2023")
	uk := region(t, "uk-2018")
	ca := region(t, "ca")
	caStock := stock(t, "14/2", "14/3", "14/4")
	return func(t *rapid.T) {
		in := request(t, bounds{boxes: 8, feeds: 2, groups: 3, places: 5, needs: 3, special: true, rings: rapid.IntRange(0, 3).Draw(t, "kind") == 0})
		r := us
		switch rapid.IntRange(0, 5).Draw(t, "region") {
		case 0:
			r, in.Exemptions = ca, nil
			in.Stock = caStock
		case 1:
			r, in.Exemptions = uk, nil
			in.Supply = switchnet.SinglePhase230()
			for i := range in.Feeds {
				in.Feeds[i].Lines, in.Feeds[i].Volts, in.Feeds[i].Breaker = nil, 0, in.Feeds[i].Breaker*6/15
			}
			for i := range in.Runs {
				in.Runs[i].Cable, in.Runs[i].Existing = conductor.CableType{}, false
			}
		}
		opt := &plan.Options{Limit: 300}
		p, err := plan.New(context.Background(), in, r, opt)
		if err != nil {
			t.Fatalf("%v\n%+v", err, in)
		}
		if !p.Status.OK() {
			if len(p.Lacks) == 0 || len(p.Spec.Cables) > 0 {
				t.Fatal("a plan without room says nothing, or plans all the same")
			}
			return
		}
		what := unsound(in, r, p)
		if r == us {
			white, _ := r.Wiring.Schemes[0].Palette(rules.Neutral)
			what = append(what, markedUnlike(p, white.Colours)...)
		}
		if len(what) > 0 {
			t.Fatalf("%s\n%s", strings.Join(what, "\n"), shown(p))
		}
	}
}

// stock returns cables as the stock of an intent.
func stock(t testing.TB, names ...string) []intent.Stock {
	t.Helper()
	var out []intent.Stock
	for _, n := range names {
		c, err := conductor.ParseCableType(n)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, intent.Stock{Cable: c})
	}
	return out
}

// shown writes a plan for a failed test.
func shown(p *plan.Plan) string {
	var b strings.Builder
	for _, c := range p.Spec.Cables {
		fmt.Fprintln(&b, c.Name, c.Type.Name, c.From, c.To, c.Length)
	}
	for _, c := range p.Cables {
		for _, k := range c.Conductors {
			fmt.Fprintln(&b, " ", c.Name, k.Colour, k.Does, k.Marked, k.Why)
		}
	}
	for _, s := range p.Spec.Splices {
		fmt.Fprintln(&b, "splice", s.Box, s.Join)
	}
	for _, l := range p.Spec.Landings {
		fmt.Fprintln(&b, "land", l.Box, l.Device, l.Terminal, l.Wire)
	}
	for _, c := range p.Spec.Caps {
		fmt.Fprintln(&b, "cap", c.Box, c.Wire)
	}
	return b.String()
}

// unsound returns what a plan breaks of its promises.
func unsound(in intent.Intent, r *rules.Region, p *plan.Plan) []string {
	var out []string
	bad := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	w, err := wiring.New(p.Spec)
	if err != nil {
		return []string{err.Error()}
	}
	ctx := context.Background()
	a, err := allstates.Analyze(ctx, w.Net(), nil)
	if err != nil {
		return []string{err.Error()}
	}
	if short, err := a.Find(ctx, allstates.Shorted()); err != nil {
		bad("%v", err)
	} else if !short.Empty() {
		bad("a state is shorted")
	}
	for _, c := range in.Controls {
		devices, missing := c.Switches(w)
		if len(missing) > 0 {
			bad("control %s has no switch in %v", c.Name, missing)
			continue
		}
		slices.SortFunc(devices, switchnet.Ref.Compare)
		for _, name := range c.Lights {
			i := slices.IndexFunc(in.Lights, func(l wiring.Light) bool { return l.Name == name })
			load, err := a.Load(ctx, switchnet.Ref{Place: in.Lights[i].Box, Name: name})
			if err != nil {
				bad("%v", err)
				continue
			}
			toggling, err := load.Toggles(devices...)
			if err != nil {
				bad("%v", err)
				continue
			}
			if !toggling.Proven() {
				bad("not every place of %s toggles %s", c.Name, name)
			}
			if !slices.Equal(load.Matters(), devices) {
				bad("other switches matter to %s", name)
			}
			unclean, err := load.CleanWhenOff(ctx)
			if err != nil || len(unclean) > 0 {
				bad("%s is live when off: %v %v", name, unclean, err)
			}
		}
	}
	out = append(out, unlanded(w)...)
	out = append(out, unlawfulColours(r, w)...)
	out = append(out, noNeutral(in, r, w)...)
	out = append(out, ungrounded(in, w)...)
	out = append(out, unbalanced(w)...)
	return out
}

// unlanded returns the ends that hang, and the wires that lead nowhere.
func unlanded(w *wiring.Wiring) []string {
	var out []string
	spec := w.Spec()
	for _, b := range spec.Boxes {
		for _, e := range w.Ends(b.Name) {
			if u, _ := w.Use(e); u == wiring.Hanging {
				out = append(out, fmt.Sprintf("%v hangs in %s", e.Wire, e.Box))
			}
		}
	}
	for wire, f := range w.Functions() {
		switch f.Kind {
		case wiring.Loose, wiring.Crossed, wiring.Series, wiring.Unknown, wiring.SwitchedReturn:
			out = append(out, fmt.Sprintf("%v is %v", wire, f))
		}
	}
	return out
}

// unlawfulColours returns conductors that may not have their colour.
func unlawfulColours(r *rules.Region, w *wiring.Wiring) []string {
	var out []string
	spec := w.Spec()
	marks := map[wiring.End]conductor.Colour{}
	for _, m := range spec.Marks {
		marks[wiring.End{Box: m.Box, Wire: m.Wire}] = m.As
	}
	var lines, neutrals []conductor.Colour
	white := func(c conductor.Colour) bool { return c.Main == conductor.White || c.Main == conductor.Gray }
	colours := len(r.Wiring.Schemes) > 0
	back, _ := r.Wiring.Rule(rules.RemarkedWhiteAsReturn)
	if colours {
		l, _ := r.Wiring.Schemes[0].Palette(rules.Line)
		n, _ := r.Wiring.Schemes[0].Palette(rules.Neutral)
		lines, neutrals = l.Colours, slices.Clone(n.Colours)
		// White with a stripe is a second neutral, and a line only if it is marked.
		lines = slices.DeleteFunc(slices.Clone(lines), func(c conductor.Colour) bool {
			if c.Stripe == 0 || !white(c) {
				return false
			}
			neutrals = append(neutrals, c)
			return true
		})
	}
	for _, c := range spec.Cables {
		for _, core := range c.Type.Cores {
			wire := wiring.Wire{Cable: c.Name, Conductor: core.Colour.String()}
			f, _ := w.Function(wire)
			near, marked := marks[wiring.End{Box: c.From, Wire: wire}]
			far, both := marks[wiring.End{Box: c.To, Wire: wire}]
			if marked != both || near != far {
				out = append(out, fmt.Sprintf("%v is marked at one end only", wire))
			}
			colour := core.Colour
			if marked {
				colour = near
			}
			neutral := f.Kind == wiring.NeutralConductor
			line := f.Kind == wiring.Hot || f.Kind == wiring.SwitchLeg || f.Kind == wiring.Traveler
			striped := colour.Stripe != 0 && slices.Contains(lines, conductor.Plain(colour.Main))
			switch {
			case !core.Insulated() || core.Grounding:
				if f.Kind != wiring.GroundConductor {
					out = append(out, fmt.Sprintf("%v, a ground, is %v", wire, f))
				}
			case f.Kind == wiring.GroundConductor:
				out = append(out, fmt.Sprintf("%v is ground", wire))
			case !colours && (neutral && !white(colour) || line && white(colour) || marked):
				out = append(out, fmt.Sprintf("%v is %v", wire, f))
			case colours && neutral && !slices.Contains(neutrals, colour):
				out = append(out, fmt.Sprintf("%v (%v) is neutral", wire, colour))
			case colours && line && !slices.Contains(lines, colour) && !striped:
				out = append(out, fmt.Sprintf("%v (%v) is %v", wire, colour, f))
			case colours && line && marked && slices.Contains(neutrals, core.Colour) && (f.Kind == wiring.SwitchLeg && back.Says != rules.Permitted || c.Type.Construction == conductor.Loose):
				out = append(out, fmt.Sprintf("%v is re-marked and %v", wire, f))
			}
		}
	}
	return out
}

// noNeutral returns the places without a neutral of their circuit that should have
// one, and the needs that are not met.
func noNeutral(in intent.Intent, r *rules.Region, w *wiring.Wiring) []string {
	var out []string
	of := func(feed string) string {
		if feed == "" {
			return in.Feeds[0].Name // the only one
		}
		return feed
	}
	has := func(box, feed string, kind wiring.FunctionKind) bool {
		feed = of(feed)
		for _, f := range in.Feeds {
			if f.Name == feed && f.Box == box {
				return true
			}
		}
		return slices.ContainsFunc(w.Ends(box), func(e wiring.End) bool {
			f, _ := w.FunctionAt(e)
			return f.Kind == kind && slices.ContainsFunc(f.Feeds, func(r switchnet.Ref) bool { return r.Name == feed })
		})
	}
	if r.Wiring.Neutral.Rule.Says == rules.Required {
		for _, c := range in.Controls {
			for _, b := range c.Places {
				exempt := slices.ContainsFunc(in.Exemptions, func(e intent.Exemption) bool { return e.Box == b })
				if !exempt && !has(b, c.Feed, wiring.NeutralConductor) {
					out = append(out, fmt.Sprintf("no neutral of %s in %s", c.Feed, b))
				}
			}
		}
	}
	for _, n := range in.Needs {
		switch n.Kind {
		case intent.UnswitchedPower:
			if !has(n.Box, n.Feed, wiring.Hot) || !has(n.Box, n.Feed, wiring.NeutralConductor) {
				out = append(out, fmt.Sprintf("no power of %s in %s", n.Feed, n.Box))
			}
			says := plan.AvailableIn(w, n.Box).Says
			if !slices.ContainsFunc(says, func(s string) bool { return strings.HasPrefix(s, "constant power of "+of(n.Feed)+" can be taken here") }) {
				out = append(out, fmt.Sprintf("power of %s in %s is not told: %q", n.Feed, n.Box, says))
			}
		case intent.NeutralOnly:
			if !has(n.Box, n.Feed, wiring.NeutralConductor) {
				out = append(out, fmt.Sprintf("no neutral of %s in %s", n.Feed, n.Box))
			}
		case intent.SpareConductor:
			at := slices.IndexFunc(in.Feeds, func(f wiring.Feed) bool { return f.Name == of(n.Feed) })
			spare := slices.ContainsFunc(w.Ends(n.Box), func(e wiring.End) bool { f, _ := w.FunctionAt(e); return f.Kind == wiring.Spare })
			if in.Feeds[at].Box != n.Box && !spare {
				out = append(out, fmt.Sprintf("no spare in %s", n.Box))
			}
		}
	}
	return out
}

// ungrounded returns switches, lights and metal boxes with cables that are not on a
// ground.
func ungrounded(in intent.Intent, w *wiring.Wiring) []string {
	var out []string
	rest := w.Net().Rest()
	view, err := w.Net().NewSolver().Solve(rest)
	if err != nil {
		return []string{err.Error()}
	}
	check := func(t switchnet.Terminal) {
		if c, ok := view.Condition(t); !ok || c.Kind() != switchnet.OnGround {
			out = append(out, fmt.Sprintf("%v is not grounded", t))
		}
	}
	for _, d := range w.Spec().Devices {
		check(switchnet.Terminal{Place: d.Box, Device: d.Name, Name: "ground"})
	}
	for _, c := range in.Controls {
		for _, name := range c.Lights {
			i := slices.IndexFunc(in.Lights, func(l wiring.Light) bool { return l.Name == name })
			check(switchnet.Terminal{Place: in.Lights[i].Box, Device: name, Name: "ground"})
		}
	}
	for _, b := range in.Boxes {
		if b.Metal && len(w.Ends(b.Name)) > 0 {
			check(switchnet.Terminal{Place: b.Name, Device: "box", Name: "ground"})
		}
	}
	return out
}
