package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

func short(p *Pass) error {
	a, err := p.Analysis()
	if err != nil {
		return err
	}
	set, err := a.Find(p.ctx, allstates.Shorted())
	if err != nil {
		return err
	}
	s, ok := set.Witness()
	if !ok {
		return nil
	}
	v, err := s.Net().NewSolver().Solve(s)
	if err != nil {
		return err
	}
	for sh := range v.Shorts() {
		devices := []switchnet.Ref{}
		for _, step := range sh.Path.Steps {
			if r := (switchnet.Ref{Place: step.From.Place, Name: step.From.Device}); step.Kind == switchnet.ByContact && !slices.Contains(devices, r) && len(p.moving([]switchnet.Ref{r})) > 0 {
				devices = append(devices, r)
			}
		}
		f := Finding{Place: p.shortPlace(sh), Message: fmt.Sprintf("%v and %v are joined: %v", sh.Rails[0], sh.Rails[1], sh.Path)}
		if len(devices) > 0 {
			f.Witness = []Witness{p.witness(s, devices)}
		}
		p.Report(f)
	}
	return nil
}

// shorts reports whether rails are joined in any state.
func (p *Pass) shorts() (bool, error) {
	a, err := p.Analysis()
	if err != nil {
		return false, err
	}
	set, err := a.Find(p.ctx, allstates.Shorted())
	return err == nil && !set.Empty(), err
}

// shortPlace returns where a short is most likely to have been made: where two things
// touch, or else the last switch on its path, or else its last splice.
func (p *Pass) shortPlace(sh switchnet.Short) Place {
	var device, splice, last switchnet.Terminal
	for _, step := range sh.Path.Steps {
		last = step.To
		switch step.Kind {
		case switchnet.BySplice:
			for i, t := range p.spec.Ties {
				if t.Box == step.From.Place && (joinTerminal(t.Box, t.A) == step.From && joinTerminal(t.Box, t.B) == step.To ||
					joinTerminal(t.Box, t.B) == step.From && joinTerminal(t.Box, t.A) == step.To) {
					out := p.terminalPlace(step.From)
					out.At = wiring.Ref{List: "ties", Index: i}
					return out
				}
			}
			splice = step.From
		case switchnet.ByContact:
			if d, ok := p.job.Wiring.Net().Device(step.From.Owner()); ok && !d.Kind.Breaker {
				device = step.From
			}
		}
	}
	switch {
	case device != switchnet.Terminal{}:
		return p.devicePlace(device.Owner())
	case splice != switchnet.Terminal{}:
		return p.terminalPlace(splice)
	}
	return p.terminalPlace(last)
}

func joinTerminal(box string, j wiring.Joint) switchnet.Terminal {
	if j.Device != "" {
		return switchnet.Terminal{Place: box, Device: j.Device, Name: j.Terminal}
	}
	return j.Wire.In(box)
}
