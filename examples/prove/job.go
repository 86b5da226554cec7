package main

import (
	"context"
	"fmt"
	"io"
	"slices"

	"example.com/switchleg/internal/cautions"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/wiring"
)

// jobReport is what the program says about a job.
type jobReport struct {
	Title      string    `json:"title"`
	Switches   []setting `json:"switches"`
	States     string    `json:"states"`
	Shorted    shown     `json:"shorted"`
	Transit    []transit `json:"transit,omitempty"`
	Controls   []control `json:"controls"`
	BeforeWork []string  `json:"before_work"`
}

// setting is a device and, in a state, its position.
type setting struct {
	Switch   string `json:"switch"`
	Place    string `json:"place"`
	Position string `json:"position,omitempty"`
}

// shown is a number of states and one of them.
type shown struct {
	Count string    `json:"count"`
	State []setting `json:"state,omitempty"`
}

type transit struct {
	Kind string `json:"kind"`
	shown
}

type control struct {
	Name     string    `json:"name"`
	Switches []setting `json:"switches"`
	Missing  []string  `json:"missing,omitempty"`
	Lights   []light   `json:"lights"`
}

type light struct {
	Name       string      `json:"name"`
	Place      string      `json:"place"`
	Law        string      `json:"law"`
	Rule       string      `json:"rule"`
	Proven     bool        `json:"proven"`
	Lit        string      `json:"lit"`
	Unlit      string      `json:"unlit"`
	Dim        string      `json:"dim"`
	Faulted    string      `json:"faulted"`
	Exceptions []exception `json:"exceptions,omitempty"`
	Unclean    []unclean   `json:"unclean,omitempty"`
}

type exception struct {
	setting           // Position is where it stands before
	To      string    `json:"to"`
	Before  string    `json:"before"`
	After   string    `json:"after"`
	State   []setting `json:"state"`
}

type unclean struct {
	Terminal string `json:"terminal"`
	shown
}

// prover proves the groups of one wiring.
type prover struct {
	f *flagged
	w *wiring.Wiring
	a *allstates.Analysis
}

func proveJob(ctx context.Context, f *flagged, out io.Writer) (found bool, err error) {
	file, w, err := program.WiredJob(f.job, "")
	if err != nil {
		return false, err
	}
	a, err := allstates.Analyze(ctx, w.Net(), &allstates.Options{Budget: f.budget})
	if err != nil {
		return false, err
	}
	p := &prover{f, w, a}
	r := &jobReport{Title: file.Title, States: short(a.States()), Switches: plain(a.Devices()), Controls: []control{}, BeforeWork: cautions.Work()}
	if r.Shorted, err = p.shorts(ctx, a); err != nil {
		return false, err
	}
	found = r.Shorted.Count != "0"
	if f.transit {
		for _, t := range []switchnet.Transit{switchnet.BreakBeforeMake, switchnet.MakeBeforeBreak} {
			b, err := allstates.AnalyzeTransit(ctx, w.Net(), t, &allstates.Options{Budget: f.budget})
			if err != nil {
				return false, err
			}
			s, err := p.shorts(ctx, b)
			if err != nil {
				return false, err
			}
			found = found || s.Count != "0"
			r.Transit = append(r.Transit, transit{t.String(), s})
		}
	}
	for _, c := range file.Intent.Controls {
		group, bad, err := p.group(ctx, c, file.Wiring.Lights)
		if err != nil {
			return false, err
		}
		found = found || bad
		r.Controls = append(r.Controls, group)
	}
	if f.json {
		return found, program.WriteJSON(out, r)
	}
	return found, r.write(out)
}

// shorts looks for shorted states.
func (p *prover) shorts(ctx context.Context, a *allstates.Analysis) (shown, error) {
	s, err := a.Find(ctx, allstates.Shorted())
	if err != nil {
		return shown{}, err
	}
	return show(s, a.Devices()), nil
}

// show returns the count of a set and the settings of its first state.
func show(s *allstates.Set, devices []switchnet.Ref) shown {
	out := shown{Count: short(s.Count())}
	if st, ok := s.Witness(); ok {
		out.State = settings(st, devices)
	}
	return out
}

func settings(s switchnet.State, devices []switchnet.Ref) []setting {
	out := make([]setting, len(devices))
	for i, d := range devices {
		position, _ := s.Position(d)
		out[i] = setting{d.Name, d.Place, position}
	}
	return out
}

func plain(devices []switchnet.Ref) []setting {
	out := make([]setting, len(devices))
	for i, d := range devices {
		out[i] = setting{Switch: d.Name, Place: d.Place}
	}
	return out
}

// group proves one control group.
func (p *prover) group(ctx context.Context, c intent.Control, lights []wiring.Light) (out control, bad bool, err error) {
	switches, missing := c.Switches(p.w)
	out = control{Name: c.Name, Switches: plain(switches), Missing: missing, Lights: []light{}}
	bad = len(missing) > 0 || len(switches) == 0
	for _, name := range c.Lights {
		i := slices.IndexFunc(lights, func(l wiring.Light) bool { return l.Name == name })
		if i < 0 {
			return out, false, fmt.Errorf("control %q switches light %q, which is not in the wiring", c.Name, name)
		}
		l, err := p.light(ctx, switchnet.Ref{Place: lights[i].Box, Name: name}, switches)
		if err != nil {
			return out, false, err
		}
		bad = bad || !l.Proven || len(l.Unclean) > 0
		out.Lights = append(out.Lights, l)
	}
	return out, bad, nil
}

func (p *prover) light(ctx context.Context, ref switchnet.Ref, switches []switchnet.Ref) (light, error) {
	l, err := p.a.Load(ctx, ref)
	if err != nil {
		return light{}, err
	}
	law := l.Law()
	out := light{Name: ref.Name, Place: ref.Place, Law: law.Kind.String(), Rule: law.String(),
		Lit: short(l.Count(switchnet.Lit)), Unlit: short(l.Count(switchnet.Unlit)),
		Dim: short(l.Count(switchnet.Dim)), Faulted: short(l.Count(switchnet.Faulted))}
	// A state is told by the handles that bear on the light.
	telling := slices.Clone(law.Matter)
	for _, s := range switches {
		if !slices.Contains(telling, s) {
			telling = append(telling, s)
		}
	}
	slices.SortFunc(telling, switchnet.Ref.Compare)
	if len(switches) > 0 {
		t, err := l.Toggles(switches...)
		if err != nil {
			return light{}, err
		}
		out.Proven = t.Proven()
		// One exception of each switch tells most.
		for _, sw := range t.Switches() {
			if len(out.Exceptions) == p.f.exceptions {
				break
			}
			one, err := l.Toggles(sw)
			if err != nil {
				return light{}, err
			}
			for e := range one.Exceptions() {
				from, _ := e.From.Position(sw)
				to, _ := e.To.Position(sw)
				out.Exceptions = append(out.Exceptions, exception{setting{sw.Name, sw.Place, from}, to,
					e.Before.String(), e.After.String(), settings(e.From, telling)})
				break
			}
		}
	}
	dirty, err := l.CleanWhenOff(ctx)
	if err != nil {
		return light{}, err
	}
	for _, u := range dirty {
		out.Unclean = append(out.Unclean, unclean{u.Terminal.String(), show(u.States, telling)})
	}
	return out, nil
}
