package packet

import (
	"context"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/intent"
)

// TableLimit is the largest number of settings that a truth table lists.
const TableLimit = 64

// prove says what each control does, in the order of the job, and whether anything
// shorts. A question that is too knotted to answer is said so in its place; an error
// is the end of ctx.
func (s *sheets) prove(ctx context.Context, controls []intent.Control) ([]Control, Shorts, error) {
	all, err := allstates.Analyze(ctx, s.w.Net(), nil)
	if err != nil {
		return nil, Shorts{}, err
	}
	out := []Control{}
	for _, c := range controls {
		sheet, err := s.proveControl(ctx, all, c)
		if err != nil {
			return nil, Shorts{}, err
		}
		out = append(out, sheet)
	}
	shorts, err := proveShorts(ctx, all)
	return out, shorts, err
}

// said turns an error of a question into what the document says of it; the end of
// ctx stays an error.
func said(ctx context.Context, err error) (string, error) {
	if ctx.Err() != nil {
		return "", ctx.Err()
	}
	return err.Error(), nil
}

func proveShorts(ctx context.Context, all *allstates.Analysis) (Shorts, error) {
	s := Shorts{States: all.States().String()}
	set, err := all.Find(ctx, allstates.Shorted())
	if err != nil {
		s.Problem, err = said(ctx, err)
		return s, err
	}
	s.Settings = set.Count().String()
	state, ok := set.Witness()
	if !ok {
		return s, nil
	}
	s.Example = words(state, all.Devices())
	view, err := all.Net().NewSolver().Solve(state)
	if err != nil {
		return s, err
	}
	for short := range view.Shorts() {
		s.Path = route(short.Path)
		break
	}
	return s, nil
}

func (s *sheets) proveControl(ctx context.Context, all *allstates.Analysis, c intent.Control) (Control, error) {
	net := s.w.Net()
	sheet := Control{Name: c.Name, Lights: append([]string{}, c.Lights...), Places: []Place{}, Results: []Result{}}
	switches, _ := c.Switches(s.w)
	for _, p := range c.Places {
		kind := ""
		if d, ok := net.Device(switchnet.Ref{Place: p, Name: c.Name}); ok && !d.Kind.Breaker {
			kind = s.speak(d.Kind.Name)
		}
		sheet.Places = append(sheet.Places, Place{p, kind})
	}
	lights := s.lightsOf(c)
	own, vary := setOf(switches), setOf(switches)
	for _, l := range lights {
		load, err := all.Load(ctx, l)
		if err != nil {
			problem, err := said(ctx, err)
			if err != nil {
				return sheet, err
			}
			sheet.Results = append(sheet.Results, Result{Light: l.Name, Problem: problem})
			continue
		}
		// Only what matters to the light is counted: settings of switches that
		// have nothing to do with it would only blow the numbers up.
		mine := slices.Clone(switches)
		for _, r := range load.Matters() {
			if !own[r] {
				mine = append(mine, r)
				vary[r] = true
			}
		}
		r, err := proveLight(ctx, net, l, switches, mine)
		if err != nil {
			return sheet, err
		}
		sheet.Results = append(sheet.Results, r)
	}
	sheet.Sense = s.sense(&sheet, switches)
	var err error
	if len(vary) == len(switches) && len(switches) > 0 {
		sheet.Table, err = table(net, switches, lights)
	}
	return sheet, err
}

// sense says how to turn round which way the handles stand when the lights of a
// control that works burn: the first plain three-way of its places is an end of it, and
// with its throws exchanged every setting is as every other one was.
func (s *sheets) sense(sheet *Control, switches []switchnet.Ref) string {
	if len(switches) < 2 || len(sheet.Results) == 0 {
		return ""
	}
	for i := range sheet.Results {
		if !sheet.Results[i].EveryPlace {
			return ""
		}
	}
	for _, d := range switches {
		if dev, _ := s.w.Net().Device(d); dev.Kind.Name == switchnet.ThreeWay().Name {
			return fmt.Sprintf("Should the handles stand the wrong way when it is dark, exchange what is on the two screws of %s at %s that are not its common, there and nowhere else: nothing but the sense of the handles changes.",
				d.Name, d.Place)
		}
	}
	return ""
}

// lightsOf returns the lights of a control, in its order. Names that no light has
// are left out; package intent reports them.
func (s *sheets) lightsOf(c intent.Control) []switchnet.Ref {
	var out []switchnet.Ref
	for _, name := range c.Lights {
		for _, i := range s.lights[name] {
			out = append(out, switchnet.Ref{Place: s.spec.Lights[i].Box, Name: name})
		}
	}
	return out
}

func proveLight(ctx context.Context, net *switchnet.Net, light switchnet.Ref, switches, vary []switchnet.Ref) (Result, error) {
	r := Result{Light: light.Name}
	a, err := allstates.Analyze(ctx, net, &allstates.Options{Vary: vary})
	if err != nil {
		return r, err
	}
	load, err := a.Load(ctx, light)
	if err != nil {
		r.Problem, err = said(ctx, err)
		return r, err
	}
	law := load.Law()
	lit := load.Count(switchnet.Lit)
	r.Lit, r.States = lit.String(), a.States().String()
	own := setOf(switches)
	foreign := slices.DeleteFunc(slices.Clone(law.Matter), func(d switchnet.Ref) bool { return own[d] })
	if len(switches) > 0 {
		toggling, err := load.Toggles(switches...)
		if err != nil {
			return r, err
		}
		r.EveryPlace = toggling.Proven() && len(foreign) == 0
		for e := range toggling.Exceptions() {
			r.Exception = []string{
				fmt.Sprintf("%s: %s", words(e.From, vary), e.Before),
				fmt.Sprintf("%s: %s", words(e.To, vary), e.After),
			}
			break
		}
	}
	r.Says = says(law, lit, a.States(), len(switches), r.EveryPlace, foreign)
	unclean, err := load.CleanWhenOff(ctx)
	if err != nil {
		r.Problem, err = said(ctx, err)
		return r, err
	}
	for _, u := range unclean {
		if s, ok := u.States.Witness(); ok {
			r.LiveWhenOff = append(r.LiveWhenOff, fmt.Sprintf("%s is on a line while the light is dark: %s", u.Terminal.Name, words(s, vary)))
		}
	}
	return r, nil
}

// says puts the law of a light in a sentence.
func says(law allstates.Law, lit, states *big.Int, places int, every bool, foreign []switchnet.Ref) string {
	counted := litIn(lit, states)
	var b strings.Builder
	switch {
	case law.Kind == allstates.NeverLit:
		b.WriteString("never lit")
	case law.Kind == allstates.AlwaysLit:
		b.WriteString("always lit")
	case every && places == 1:
		b.WriteString("its switch turns it on and off; " + counted)
	case every:
		fmt.Fprintf(&b, "each of its %d places changes it from every setting; %s", places, counted)
	case law.Kind == allstates.LitOnlyWhen:
		var needs []string
		for _, n := range law.Needs {
			needs = append(needs, n.Device.String()+" "+strings.Join(n.Positions, " or "))
		}
		fmt.Fprintf(&b, "lit only with %s", strings.Join(needs, " and "))
		if !law.Enough {
			b.WriteString(", and then not always")
		}
		b.WriteString("; " + counted)
	default:
		b.WriteString("NOT every place changes it from every setting; " + counted)
	}
	if law.Dim {
		b.WriteString("; in some settings in series with another load")
	}
	if law.Faulted {
		b.WriteString("; in some settings an end of it is on a short")
	}
	if len(foreign) > 0 {
		var names []string
		for _, d := range foreign {
			names = append(names, d.String())
		}
		b.WriteString("; other switches matter to it: " + strings.Join(names, ", "))
	}
	return b.String()
}

// litIn says in how many settings a light is lit: in numbers that can be read, and of very
// many in words where it is half of them.
func litIn(lit, states *big.Int) string {
	if len(states.String()) > 6 && new(big.Int).Lsh(lit, 1).Cmp(states) == 0 {
		return "lit in half of all settings"
	}
	return fmt.Sprintf("lit in %s of %s settings", short(lit), short(states))
}

// short prints a number; one too long to read as its first digits and its length.
func short(n *big.Int) string {
	s := n.String()
	if len(s) <= 15 {
		return s
	}
	return fmt.Sprintf("%s... (%d digits)", s[:6], len(s))
}

func setOf(devices []switchnet.Ref) map[switchnet.Ref]bool {
	set := make(map[switchnet.Ref]bool, len(devices))
	for _, d := range devices {
		set[d] = true
	}
	return set
}

// words lists the positions of the devices that count.
func words(s switchnet.State, devices []switchnet.Ref) string {
	var parts []string
	count := setOf(devices)
	for d, p := range s.Positions() {
		if count[d] {
			parts = append(parts, d.String()+" "+p)
		}
	}
	return strings.Join(parts, ", ")
}

// table lists every setting of the switches, the last one moving fastest, or
// nothing if there are too many.
func table(net *switchnet.Net, switches, lights []switchnet.Ref) ([]Setting, error) {
	n := 1
	for _, d := range switches {
		dev, _ := net.Device(d)
		if n *= len(dev.Kind.Positions); n > TableLimit {
			return nil, nil
		}
	}
	solver := net.NewSolver()
	var out []Setting
	pick := make([]int, len(switches))
	for {
		state := net.Rest()
		row := Setting{Handles: []string{}, Lights: []string{}}
		for i, d := range switches {
			dev, _ := net.Device(d)
			name := dev.Kind.Positions[pick[i]].Name
			var err error
			if state, err = state.With(d, name); err != nil {
				return nil, err
			}
			row.Handles = append(row.Handles, name)
		}
		view, err := solver.Solve(state)
		if err != nil {
			return nil, err
		}
		for _, l := range lights {
			s, ok := view.Supply(l)
			if !ok {
				return nil, errors.New("packet: a light of the job is missing from its net")
			}
			row.Lights = append(row.Lights, s.Status.String())
		}
		out = append(out, row)
		i := len(switches) - 1
		for ; i >= 0; i-- {
			dev, _ := net.Device(switches[i])
			if pick[i]++; pick[i] < len(dev.Kind.Positions) {
				break
			}
			pick[i] = 0
		}
		if i < 0 {
			return out, nil
		}
	}
}

// route tells a path by the terminals of devices and lights it comes to, leaving
// out the ends of wires between.
func route(p switchnet.Path) string {
	var stops []string
	add := func(t switchnet.Terminal) {
		if s := t.String(); len(stops) == 0 || stops[len(stops)-1] != s {
			stops = append(stops, s)
		}
	}
	for i, s := range p.Steps {
		if i == 0 {
			add(s.From)
		}
		add(s.To)
	}
	return strings.Join(stops, " - ")
}
