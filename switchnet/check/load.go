package check

import (
	"fmt"
	"slices"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/allstates"
	"example.com/switchleg/switchnet/wiring"
)

// carried is what a device switches: all lights to which it matters.
type carried struct {
	device  *wiring.Device
	lights  []carriedLight // in name order
	power   quantity.Power
	draws   quantity.Current
	unknown bool // the load of a light, or its volts, is not stated
}

// carriedLight is one of them.
type carriedLight struct {
	ref    switchnet.Ref
	lamp   *lamp
	matter []switchnet.Ref // the devices that matter to it
	power  quantity.Power
	draws  quantity.Current // at its own volts; 0 where these are not known
}

// names returns the names of the lights.
func (c *carried) names() []string {
	out := make([]string, len(c.lights))
	for i := range c.lights {
		out[i] = c.lights[i].ref.Name
	}
	return out
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
			c.lights = append(c.lights, carriedLight{ref: l.ref, lamp: l, matter: l.law.Matter, power: l.light.Power})
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
			c.lights[len(c.lights)-1].draws = amps
			c.draws += amps
		}
		out = append(out, c)
	}
	return out, nil
}

// tooLittleLoad looks for a state in which so few of the lights that a device matters to are
// lit that they take less than it needs. It says nothing where the load of a light is not
// stated.
func tooLittleLoad(p *Pass) error {
	all, err := p.carriers()
	if err != nil {
		return err
	}
	for i := range all {
		c := &all[i]
		if c.device.LeastLoad == 0 || len(c.lights) == 0 || c.unknown {
			continue
		}
		ref := switchnet.Ref{Place: c.device.Box, Name: c.device.Name}
		f := Finding{Place: p.devicePlace(ref), About: ref, ByHand: true}
		says := func(names []string, take string) {
			f.Message = fmt.Sprintf("%s needs a load of %s, and %s %s: it may flicker, or glow while it is off", ref, c.device.LeastLoad, list(names), take)
		}
		if c.power < c.device.LeastLoad {
			says(c.names(), "takes "+c.power.String())
			p.Report(f)
			continue
		}
		// Lights on the same metal are lit together.
		var refs []switchnet.Ref
		var takes []int64
		var groups [][]int
		for n := range c.lights {
			k := slices.IndexFunc(groups, func(g []int) bool { return c.lights[g[0]].lamp.piece == c.lights[n].lamp.piece })
			if k < 0 {
				k = len(groups)
				refs, takes, groups = append(refs, c.lights[n].ref), append(takes, 0), append(groups, nil)
			}
			takes[k] += int64(c.lights[n].power)
			groups[k] = append(groups[k], n)
		}
		if len(groups) == 1 {
			continue
		}
		lit, state, err := p.fewLit(refs, takes, int64(c.device.LeastLoad), carrying(c.device))
		if err != nil {
			return err
		}
		if len(lit) == 0 {
			continue
		}
		var power quantity.Power
		var names []string
		for _, k := range lit {
			for _, n := range groups[k] {
				power += c.lights[n].power
				names = append(names, c.lights[n].ref.Name)
			}
		}
		slices.Sort(names)
		var matter []switchnet.Ref
		for n := range c.lights {
			matter = append(matter, c.lights[n].matter...)
		}
		slices.SortFunc(matter, switchnet.Ref.Compare)
		says(names, "takes "+power.String()+" while nothing else is lit by it")
		f.Witness = []Witness{p.witness(*state, slices.Compact(matter))}
		p.Report(f)
	}
	return nil
}

// carrying claims that a device is in a position that joins something.
func carrying(d *wiring.Device) allstates.Claim {
	var names []string
	for _, v := range d.Kind.Positions {
		if len(v.Joins) > 0 {
			names = append(names, v.Name)
		}
	}
	return allstates.Positioned(switchnet.Ref{Place: d.Box, Name: d.Name}, names...)
}

// carriesTooMuch adds up the lights that a device matters to and that some state lights
// all at once: what is stated is enough to tell, what is not would come to it.
func carriesTooMuch(p *Pass) error {
	all, err := p.carriers()
	if err != nil {
		return err
	}
	for i := range all {
		c := &all[i]
		told, err := tooMuch(p, c, nil, c.power, c.device.MostLoad, quantity.Watt, func(l *carriedLight) quantity.Power { return l.power })
		if err != nil {
			return err
		}
		if told {
			continue // the same lights by their current would be the same said twice
		}
		for _, pole := range p.byPole(c) {
			if _, err := tooMuch(p, &pole.carried, pole.terminals, pole.draws, c.device.Rating, quantity.Ampere/10, func(l *carriedLight) quantity.Current { return l.draws }); err != nil {
				return err
			}
		}
	}
	return nil
}

// carriedByPole is what one pole of a device carries, and its terminals; none for the one
// pole of a device that has one.
type carriedByPole struct {
	carried
	terminals []string
}

// byPole divides what a device with a rating carries among its poles: the rating is that of
// each.
func (p *Pass) byPole(c *carried) []carriedByPole {
	poles := polesOf(&c.device.Kind)
	if c.device.Rating == 0 || c.draws <= c.device.Rating || len(poles) < 2 {
		return []carriedByPole{{carried: *c}}
	}
	out := make([]carriedByPole, len(poles))
	for n := range poles {
		v := &out[n]
		v.terminals, v.device, v.unknown = poles[n], c.device, c.unknown
		for k := range c.lights {
			if l := &c.lights[k]; p.onPole(l.lamp, c.device, poles, n) {
				v.lights = append(v.lights, *l)
				v.draws += l.draws
			}
		}
	}
	return out
}

// tooMuch reports a device, or the pole of some of its terminals, whose lights take more
// than a limit in some state, if there is a limit, and whether it is one. What they take
// is told in steps, rounded up.
func tooMuch[Q quantity.Power | quantity.Current](p *Pass, c *carried, pole []string, sum, limit, step Q, takes func(*carriedLight) Q) (bool, error) {
	if limit == 0 || sum <= limit {
		return false, nil
	}
	weights := make([]int64, len(c.lights))
	refs := make([]switchnet.Ref, len(c.lights))
	for i := range c.lights {
		refs[i], weights[i] = c.lights[i].ref, int64(takes(&c.lights[i]))
	}
	lit, state, err := p.litAtOnce(refs, weights, int64(limit))
	if err != nil || len(lit) == 0 {
		return false, err
	}
	sum = 0
	var names []string
	var matter []switchnet.Ref
	for _, n := range lit {
		names = append(names, refs[n].Name)
		matter = append(matter, c.lights[n].matter...)
		sum += takes(&c.lights[n])
	}
	slices.SortFunc(matter, switchnet.Ref.Compare)
	sum = (sum + step - 1) / step * step
	ref := switchnet.Ref{Place: c.device.Box, Name: c.device.Name}
	f := Finding{Place: p.devicePlace(ref), About: ref, ByHand: true, Section: p.section(rules.SwitchWithinRating),
		Message: fmt.Sprintf("%s is marked for %v, and %s, lit at once, takes %v", ref, limit, list(names), sum)}
	if pole != nil {
		f.Place.Terminal = pole[0]
		f.Message += " through " + list(pole)
	}
	if state != nil {
		f.Witness = []Witness{p.witness(*state, slices.Compact(matter))}
	} else {
		f.Message += "; whether any state lights them all was not found out"
	}
	p.Report(f)
	return true, nil
}
