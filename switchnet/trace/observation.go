package trace

import (
	"fmt"
	"strings"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
)

// An Observation is something seen, felt out or read. The set is closed: Saw, Flipped,
// InUse, Continuity, Reading and Reference.
type Observation interface {
	fmt.Stringer
	// compile returns how the observation weighs each possibility.
	compile(c *Case, errs *Errors) evidence
}

// A Report is an observation and how far it is to be trusted.
type Report struct {
	Of Observation
	// Confidence is how likely it is that the report is right; 0 means all of it.
	// At less, a possibility that the report speaks against is kept and becomes less
	// likely.
	Confidence quantity.Ratio
}

// String returns the words. The text is for reading and not stable.
func (r Report) String() string {
	if r.Confidence == 0 || r.Confidence == quantity.Whole {
		return r.Of.String()
	}
	return fmt.Sprintf("%s (%s sure)", r.Of, r.Confidence)
}

// evidence weighs possibilities. A weight is how likely the observation is under the
// possibility, 0 to 1.
type evidence struct {
	// class weighs a class whatever the senses; nil if handles matter.
	class func(k *class) float64
	// look weighs a true setting by what the lights do; nil if facts are needed.
	look func(k *class, y int) float64
	// glance does the same as look for what is no class, given what is seen in a setting.
	glance func(at func(y int) sight, y int) float64
	// read weighs a true setting by all that there is to find.
	read func(x *facts) float64
	// ohms are the two points of a continuity test, and find weighs what it comes to,
	// for where that is kept.
	ohms   *pair
	lifted int
	find   func(kind byte) float64
	// settings are those of the handles in each of which it was observed, as they
	// stood and not as they truly are; the weights multiply.
	settings []int
}

// A Seen is a light and what it does.
type Seen struct {
	Light switchnet.Ref
	Glow  Glow
}

// Saw says what lights did, and whether the breaker opened. With switches left out of
// the setting it says so of every position of these: "with the stair foot up it never
// lights".
type Saw struct {
	At     Setting
	Lights []Seen
	// Tripped is set if the breaker opened. Lights then say nothing.
	Tripped bool
}

// String returns the words.
func (o Saw) String() string {
	if o.Tripped {
		return "with " + o.At.String() + " the breaker opens"
	}
	parts := make([]string, len(o.Lights))
	for i, l := range o.Lights {
		parts[i] = fmt.Sprintf("%s is %v", l.Light, l.Glow)
	}
	return "with " + o.At.String() + " " + strings.Join(parts, ", ")
}

// likely says how likely it is to see a glow where the first index is what the circuit
// gives: dark, lit, dim, bright. What a light does in series with others, wiring alone
// cannot say: most are dim, a small driver may stay dark, a small lamp before a large
// one looks well lit.
//
// A light that is lit may flicker, for a joint is loose, or the lamp or its dimmer bad;
// and one with a driver may glow or flicker on what couples to a leg that is off. That
// leaves a possibility, whatever else would explain it better. It is so seldom that it is
// not taken off what is seen otherwise.
var likely = [...][7]float64{
	Dark:   {Dark: 1},
	Lit:    {Lit: 1, Flicker: seldom},
	Dim:    {Dark: 0.15, Lit: 0.05, Dim: 0.8, Half: 0.8, Flicker: 0.8},
	Bright: {Bright: 1},
}

const seldom = 0.02

// likely says how likely it is that a light is seen to do what is seen, where the circuit
// gives something.
func (f *frame) likely(light int, gives, seen Glow) float64 {
	if gives == Dark && (seen == Dim || seen == Flicker) && !f.filament[light] {
		return seldom
	}
	return likely[gives][seen]
}

func (o Saw) compile(c *Case, errs *Errors) evidence {
	ys, _ := c.f.sp.meant(errs, "Saw.At", o.At)
	if len(o.Lights) == 0 && !o.Tripped {
		errs.add("Saw.Lights", "says of no light what it did")
	}
	at := make([]int, len(o.Lights))
	for k, l := range o.Lights {
		i, ok := c.f.light(l.Light)
		if !ok {
			errs.add(fmt.Sprintf("Saw.Lights[%d]", k), "the job has no light %s", l.Light)
		}
		if _, err := l.Glow.MarshalText(); err != nil {
			errs.add(fmt.Sprintf("Saw.Lights[%d]", k), "does not say what the light did")
		}
		at[k] = i
	}
	if len(*errs) > 0 {
		return evidence{}
	}
	weigh := func(s sight) float64 {
		if s.trip != o.Tripped {
			return 0
		}
		weight := 1.0
		for k, l := range o.Lights {
			if !s.trip {
				weight *= c.f.likely(at[k], Glow(s.look[at[k]]), l.Glow)
			}
		}
		return weight
	}
	weight := make([]float64, len(c.sights))
	for n, s := range c.sights {
		weight[n] = weigh(s)
	}
	return evidence{settings: ys,
		look:   func(k *class, y int) float64 { return weight[k.looks[y]] },
		glance: func(at func(int) sight, y int) float64 { return weigh(at(y)) }}
}

// Flipped says whether moving one handle, from a setting to the switch's next
// position, changed anything that the lights do: "this switch did nothing". With
// switches left out of the setting it says so of every position of these.
type Flipped struct {
	From    Setting
	Switch  switchnet.Ref
	Changed bool
}

// String returns the words.
func (o Flipped) String() string {
	what := "did nothing"
	if o.Changed {
		what = "changed the lights"
	}
	return fmt.Sprintf("from %s, %s %s", o.From, o.Switch, what)
}

func (o Flipped) compile(c *Case, errs *Errors) evidence {
	ys, _ := c.f.sp.meant(errs, "Flipped.From", o.From)
	i, ok := c.f.sp.find(o.Switch)
	if !ok {
		errs.add("Flipped.Switch", "the job has no switch %s", o.Switch)
		return evidence{}
	}
	// Which way the handle is up, its next position is the other one.
	glance := func(at func(int) sight, y int) float64 {
		a, b := at(y), at(c.f.sp.moved(y, i))
		if !a.trip && !b.trip && (a.look != b.look) == o.Changed {
			return 1
		}
		return 0
	}
	return evidence{settings: ys, glance: glance, look: func(k *class, y int) float64 {
		return glance(func(y int) sight { return c.sights[k.looks[y]] }, y)
	}}
}

// InUse says whether the breaker ever opened while all switches were used in all
// positions.
type InUse struct{ Tripped bool }

// String returns the words.
func (o InUse) String() string {
	if o.Tripped {
		return "in use, the breaker opens in some setting of the switches"
	}
	return "in use, the breaker never opened in any setting of the switches"
}

func (o InUse) compile(*Case, *Errors) evidence { return evidence{class: o.weight} }

func (o InUse) weight(k *class) float64 {
	if k.Trips == o.Tripped {
		return 1
	}
	return 0
}

// Continuity says what an ohmmeter found between two points, every circuit of the
// boxes locked out and proven dead.
type Continuity struct {
	At      Setting
	Between [2]switchnet.Terminal
	// Lifted says that all neutrals of the panel were lifted from its bar.
	Lifted bool
	Found  Path
}

// String returns the words.
func (o Continuity) String() string {
	lifted := ""
	if o.Lifted {
		lifted = ", the neutrals lifted in the panel"
	}
	return fmt.Sprintf("dead, with %s%s, from %s to %s: %v", o.At, lifted, o.Between[0], o.Between[1], o.Found)
}

// probes returns the numbers of two points.
func (c *Case) probes(errs *Errors, where string, ts ...switchnet.Terminal) []int {
	out := make([]int, len(ts))
	for i, t := range ts {
		n, ok := c.f.point(t)
		if !ok {
			errs.add(where, "%s is no point of a box that is there whatever is wrong; take the end of the wire on it", t)
		}
		out[i] = n
	}
	if len(out) == 2 && out[0] == out[1] {
		errs.add(where, "both probes are on %s", ts[0])
	}
	return out
}

func (o Continuity) compile(c *Case, errs *Errors) evidence {
	ys, _ := c.f.sp.meant(errs, "Continuity.At", o.At)
	at := c.probes(errs, "Continuity.Between", o.Between[:]...)
	if _, err := o.Found.MarshalText(); err != nil {
		errs.add("Continuity.Found", "is not said")
	}
	if c.opt.NoDead {
		errs.add("Continuity", "the options leave out tests with the circuit dead")
	}
	k := 0
	if o.Lifted {
		k = 1
	}
	return evidence{settings: ys, lifted: k, ohms: &pair{at[0], at[1]},
		read: func(x *facts) float64 { return findWeight(x.dead[k].finds(at[0], at[1]), o.Found) },
		find: func(kind byte) float64 { return findWeight(kind, o.Found) }}
}

// lightsOf returns what is seen of the lights in a sight, those that are seen from a
// box, in name order.
func (c *Case) lightsOf(s sight, seen []bool) []Seen {
	var out []Seen
	for i, l := range c.f.lights {
		if seen == nil || seen[i] {
			out = append(out, Seen{l.Ref, Glow(s.look[i])})
		}
	}
	return out
}
