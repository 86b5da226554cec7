package draw

import (
	"context"
	"errors"
	"fmt"
	"math/big"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
)

// TruthLimit is the most settings of the handles that a truth strip shows one by one:
// those of six switches of two positions.
const TruthLimit = 64

// perStrip is how many settings stand side by side at most.
const perStrip = 16

// truth is what is said of the lights of a group in every setting of its switches.
type truth struct {
	net      *switchnet.Net
	group    *Group
	switches []switchnet.Device
	total    *big.Int // settings
	settings []setting
	lights   []lightLaw
	shorts   string // what is said of shorts
}

// setting is a column of the strip.
type setting struct {
	positions []int
	status    []switchnet.LoadStatus // of the lights
	shorted   bool
}

// lightLaw is what is said of one light.
type lightLaw struct {
	light switchnet.Ref
	says  string
	// every reports that every switch changes it from every setting.
	every bool
	// not are settings that differ in one handle and leave the light as it was.
	not []string
}

// Truth returns the truth strip of a control: a column for every setting of its
// switches, all others at rest and breakers on, with what each light does in it. From
// one column to the next a single handle moves to a neighbouring position, so that
// where every place changes the light its row goes from lit to unlit and back
// throughout, and a place where it does not is marked. More than [TruthLimit] settings
// are not listed but summed up, exactly: in how many the light is lit, by what law,
// and where a handle leaves it as it was.
//
// A group that names what the wiring has not, or a switch that does not move, is an
// error, and so is a net too knotted to be analyzed: see [allstates.BudgetError].
func (d *Drawer) Truth(ctx context.Context, g Group, opt *Options) (*Picture, error) {
	set, err := opt.settings()
	if err != nil {
		return nil, err
	}
	t, err := d.truth(ctx, &g)
	if err != nil {
		return nil, err
	}
	p := &Picture{title: "Control " + clean(g.Name) + ": every setting", scheme: set.scheme, description: t.describe()}
	t.layout(&p.scene, set.width)
	return p, nil
}

func (d *Drawer) truth(ctx context.Context, g *Group) (*truth, error) {
	net := d.w.Net()
	if err := g.check(net); err != nil {
		return nil, err
	}
	if len(g.Lights) == 0 || len(g.Switches) == 0 {
		return nil, fmt.Errorf("draw: group %q needs a light and a switch for a truth strip", g.Name)
	}
	t := &truth{net: net, group: g, total: big.NewInt(1)}
	var errs []error
	for _, r := range g.Switches {
		dev, _ := net.Device(r)
		if len(dev.Kind.Positions) < 2 {
			errs = append(errs, fmt.Errorf("draw: group %q: %s has one position; name switches", g.Name, r))
		}
		t.switches = append(t.switches, dev)
		t.total.Mul(t.total, big.NewInt(int64(len(dev.Kind.Positions))))
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	a, err := allstates.Analyze(ctx, net, &allstates.Options{Vary: g.Switches})
	if err != nil {
		return nil, err
	}
	for _, l := range g.Lights {
		law, err := t.law(ctx, a, l)
		if err != nil {
			return nil, err
		}
		t.lights = append(t.lights, law)
	}
	shorted, err := a.Find(ctx, allstates.Shorted())
	if err != nil {
		return nil, err
	}
	if n := shorted.Count(); n.Sign() > 0 {
		t.shorts = fmt.Sprintf("SHORT: rails that must be apart are joined in %s of %s settings.", number(n), number(t.total))
	}
	if t.total.Cmp(big.NewInt(TruthLimit)) > 0 {
		return t, nil
	}
	return t, t.list()
}

// law asks what is to be said of a light.
func (t *truth) law(ctx context.Context, a *allstates.Analysis, light switchnet.Ref) (lightLaw, error) {
	out := lightLaw{light: light}
	load, err := a.Load(ctx, light)
	if err != nil {
		return out, err
	}
	toggling, err := load.Toggles(t.group.Switches...)
	if err != nil {
		return out, err
	}
	out.every = toggling.Proven()
	counted := litIn(load.Count(switchnet.Lit), t.total)
	law := load.Law()
	switch {
	case law.Kind == allstates.NeverLit:
		out.says = "never lit"
	case law.Kind == allstates.AlwaysLit:
		out.says = "always lit"
	case out.every && len(t.switches) == 1:
		out.says = "its switch turns it on and off"
	case out.every:
		out.says = fmt.Sprintf("each of the %d places changes it from every setting; %s", len(t.switches), counted)
	default:
		out.says = "NOT every place changes it from every setting; " + counted
	}
	if law.Dim {
		out.says += "; dim, in series with another load, in some"
	}
	if law.Faulted {
		out.says += "; an end of it on a short in some"
	}
	if !out.every {
		for e := range toggling.Exceptions() {
			from, _ := e.From.Position(e.Switch)
			to, _ := e.To.Position(e.Switch)
			out.not = append(out.not, fmt.Sprintf("for one, %s from %s to %s leaves it %s", e.Switch, from, to, e.After))
			break
		}
	}
	return out, nil
}

// litIn says in how many settings a light is lit: in numbers that can be read, and of very
// many in words where it is half of them.
func litIn(lit, total *big.Int) string {
	if len(total.String()) > 6 && new(big.Int).Lsh(lit, 1).Cmp(total) == 0 {
		return "lit in half of all settings"
	}
	return fmt.Sprintf("lit in %s of %s settings", number(lit), number(total))
}

// number prints a count; one too long to read as its first digits and its length.
func number(n *big.Int) string {
	s := n.String()
	if len(s) <= 15 {
		return s
	}
	return fmt.Sprintf("%s… (%d digits)", s[:6], len(s))
}

// list solves every setting, in an order in which one handle moves at a time, the last
// one most often.
func (t *truth) list() error {
	solver := t.net.NewSolver()
	total := int(t.total.Int64())
	for i := range total {
		s := setting{positions: t.positions(i)}
		state := t.net.Rest()
		var err error
		for k, dev := range t.switches {
			if state, err = state.With(dev.Ref, dev.Kind.Positions[s.positions[k]].Name); err != nil {
				return err
			}
		}
		view, err := solver.Solve(state)
		if err != nil {
			return err
		}
		for _, l := range t.group.Lights {
			supply, _ := view.Supply(l)
			s.status = append(s.status, supply.Status)
		}
		s.shorted = view.Shorted()
		t.settings = append(t.settings, s)
	}
	return nil
}

// positions returns the i-th setting of a reflected mixed-radix Gray code (Knuth, The
// Art of Computer Programming 4A, 7.2.1.1): digits run up and down by turns.
func (t *truth) positions(i int) []int {
	out := make([]int, len(t.switches))
	digits := make([]int, len(t.switches))
	for k := len(t.switches) - 1; k >= 0; k-- {
		n := len(t.switches[k].Kind.Positions)
		digits[k] = i % n
		i /= n
	}
	before := 0 // the number that the digits before spell
	for k := range t.switches {
		n := len(t.switches[k].Kind.Positions)
		out[k] = digits[k]
		if before%2 == 1 {
			out[k] = n - 1 - digits[k]
		}
		before = before*n + digits[k]
	}
	return out
}

func (t *truth) describe() string {
	var b strings.Builder
	fmt.Fprintf(&b, "What the lights of control %s do in every setting of its switches.", clean(t.group.Name))
	for _, l := range t.lights {
		fmt.Fprintf(&b, " %s: %s.", clean(l.light.Name), clean(strings.Join(append([]string{l.says}, l.not...), "; ")))
	}
	if t.shorts != "" {
		b.WriteString(" " + t.shorts)
	}
	for _, s := range t.settings {
		var parts, does []string
		for k, dev := range t.switches {
			parts = append(parts, clean(t.placeOf(k))+" "+dev.Kind.Positions[s.positions[k]].Name)
		}
		for k, l := range t.group.Lights {
			does = append(does, clean(l.Name)+" "+s.status[k].String())
		}
		fmt.Fprintf(&b, " With %s: %s", strings.Join(parts, ", "), strings.Join(does, ", "))
		if s.shorted {
			b.WriteString(", short")
		}
		b.WriteString(".")
	}
	return b.String()
}

// placeOf names a switch by its place, and by its own name too where two stand in one
// place.
func (t *truth) placeOf(k int) string {
	r := t.switches[k].Ref
	for i, o := range t.switches {
		if i != k && o.Place == r.Place {
			return r.Place + " " + r.Name
		}
	}
	return r.Place
}

// unchanged reports whether a light does in a setting what it did in the one before.
func (t *truth) unchanged(i, light int) bool {
	return i > 0 && t.settings[i].status[light] == t.settings[i-1].status[light]
}
