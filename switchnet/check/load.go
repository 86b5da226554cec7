package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// carried is what a device switches: all lights to which it matters.
type carried struct {
	device  *wiring.Device
	lights  []string // in name order
	power   quantity.Power
	draws   quantity.Current // each light at its own volts
	unknown bool             // the load of a light, or its volts, is not stated
}

// carriers returns what each device switches whose marking states a load or a rating, in
// the order of the job.
func (p *Pass) carriers() ([]carried, error) {
	if !slices.ContainsFunc(p.spec.Devices, func(d wiring.Device) bool { return d.Rating > 0 || d.LeastLoad > 0 || d.MostLoad > 0 }) {
		return nil, nil
	}
	lamps, err := p.lamps()
	if err != nil {
		return nil, err
	}
	nominal := p.job.Wiring.Net().Source().System.LineToNeutral
	var out []carried
	for i := range p.spec.Devices {
		d := &p.spec.Devices[i]
		if d.Rating == 0 && d.LeastLoad == 0 && d.MostLoad == 0 {
			continue
		}
		c := carried{device: d}
		ref := switchnet.Ref{Place: d.Box, Name: d.Name}
		for k := range lamps {
			l := &lamps[k]
			if !slices.Contains(l.law.Matter, ref) {
				continue
			}
			c.lights = append(c.lights, l.light.Name)
			c.power += l.light.Power
			va, err := l.light.Apparent()
			volts := l.light.Volts
			if volts == 0 {
				volts = nominal
			}
			if l.light.Power == 0 || err != nil || volts <= 0 {
				c.unknown = true
				continue
			}
			amps, err := conductor.CurrentOf(va, volts, 1)
			if err != nil {
				c.unknown = true
				continue
			}
			c.draws += amps
		}
		out = append(out, c)
	}
	return out, nil
}

// tooLittleLoad says nothing where the load of a light is not stated.
func tooLittleLoad(p *Pass) error {
	all, err := p.carriers()
	if err != nil {
		return err
	}
	for i := range all {
		c := &all[i]
		if c.device.LeastLoad == 0 || len(c.lights) == 0 || c.unknown || c.power >= c.device.LeastLoad {
			continue
		}
		ref := switchnet.Ref{Place: c.device.Box, Name: c.device.Name}
		p.Report(Finding{Place: p.devicePlace(ref), About: ref,
			Message: fmt.Sprintf("%s needs a load of %s, and %s takes %s: it may flicker, or glow while it is off", ref, c.device.LeastLoad, list(c.lights), c.power)})
	}
	return nil
}

// carriesTooMuch adds up all lights that a device matters to, as if they were lit at once:
// what is stated is enough to tell, what is not would come to it.
func carriesTooMuch(p *Pass) error {
	all, err := p.carriers()
	if err != nil {
		return err
	}
	for i := range all {
		c := &all[i]
		ref := switchnet.Ref{Place: c.device.Box, Name: c.device.Name}
		report := func(limit, takes fmt.Stringer) {
			p.Report(Finding{Place: p.devicePlace(ref), About: ref,
				Message: fmt.Sprintf("%s is marked for %s, and %s, all lit at once, takes %s", ref, limit, list(c.lights), takes)})
		}
		if c.device.MostLoad > 0 && c.power > c.device.MostLoad {
			report(c.device.MostLoad, c.power)
			continue
		}
		if c.device.Rating > 0 && c.draws > c.device.Rating {
			report(c.device.Rating, c.draws)
		}
	}
	return nil
}
