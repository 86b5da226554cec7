package main

import (
	"flag"
	"fmt"
	"strings"

	"example.com/switchleg/conductor"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/wiring"
)

// kind is what is asked about a circuit.
type kind uint8

const (
	sizeIt kind = iota + 1
	judgeIt
	largestLoad
	longestRun
	leastForDrop
)

// question is what was asked.
type question struct {
	kind       kind
	region     *rules.Region
	circuit    conductor.Circuit
	size       conductor.Size // for every kind but sizeIt and leastForDrop
	continuous bool           // of the largest load
	feed       string         // of the job file
	notes      []string       // what was assumed
}

func (q *question) note(format string, args ...any) {
	q.notes = append(q.notes, fmt.Sprintf(format, args...))
}

// ask turns flags into a question. All that is wrong with the flags is in the error.
func ask(f *flagged, p *program.Program) (*question, error) {
	var r reader
	p.NoOperands(&r.Mistakes)
	if f.job != "" {
		return askJob(f, p.Flags, &r)
	}
	if f.region == "" {
		r.Add("region", "name the rules that hold where the circuit is: %s", program.Regions())
	}
	if f.feed != "" || f.anew {
		r.Add("feed", "a feed and -anew belong with -job")
	}
	q := &question{kind: sizeIt, continuous: f.continuous}
	r.kind(f, q)
	r.load(f, &q.circuit)
	if f.load == "" && f.other == "" && q.kind != largestLoad {
		r.Add("load", "give the load, such as \"12 A\"")
	}
	c := &q.circuit
	c.Phases = f.phases
	c.Run = program.Value(&r.Mistakes, "length", f.length, quantity.ParseLength)
	c.Path = program.Value(&r.Mistakes, "path", f.path, quantity.ParseLength)
	c.Breaker = program.Value(&r.Mistakes, "breaker", f.breaker, quantity.ParseCurrent)
	c.Grounding = program.Value(&r.Mistakes, "grounding", f.grounding, conductor.ParseSize)
	cable := program.Value(&r.Mistakes, "cable", f.cable, conductor.ParseCableType)
	r.surroundings(f, c)
	if err := r.Err(); err != nil {
		return nil, err
	}
	var err error
	if q.region, err = program.Region(f.region, f.amend); err != nil {
		return nil, err
	}
	q.assume(f, cable)
	return q, nil
}

// assume fills in what nobody said and the region has a usual answer to.
func (q *question) assume(f *flagged, cable conductor.CableType) {
	c := &q.circuit
	if f.cable == "" && len(q.region.Stock.Cables) > 0 {
		cable = q.region.Stock.Cables[0].Type
		q.note("No cable was named: the conductors are taken as %s, %s, rated %s.", cable.Material, cable.Construction, cable.Rating)
	}
	if cable.Name != "" {
		*c = c.OfCable(cable)
	}
	for _, system := range q.region.Wiring.Systems {
		if f.volts == "" && c.Volts == 0 && system.Lines >= c.Phases {
			c.Volts = system.Volts
			if c.Phases == 3 {
				c.Volts = system.Between
			}
			q.note("No voltage was given: it is taken as %s, the usual one of the region.", c.Volts)
		}
	}
	if f.ambient != "" && c.Ambient == 0 {
		q.note("An ambient of freezing cannot be stated: it is taken as the base of the tables, which is warmer.")
	}
	if c.Run == 0 && c.Path == 0 && q.kind != longestRun {
		q.note("No length was given: voltage drop is left out.")
	}
}

// askJob takes the question from a job file.
func askJob(f *flagged, flags *flag.FlagSet, r *reader) (*question, error) {
	file := map[string]bool{"region": true, "judge": true, "largest-load": true, "longest-run": true, "least-for-drop": true, "load": true,
		"continuous": true, "other-load": true, "volts": true, "phases": true, "length": true, "path": true, "cable": true, "breaker": true, "grounding": true}
	flags.Visit(func(given *flag.Flag) {
		if file[given.Name] {
			r.Add(given.Name, "leave it out beside -job: the job file says it already")
		}
	})
	if f.feed == "" {
		r.Add("feed", "name the feed of the job")
	}
	q := &question{kind: judgeIt, feed: f.feed}
	surroundings := conductor.Circuit{}
	r.surroundings(f, &surroundings)
	if err := r.Err(); err != nil {
		return nil, err
	}
	parsed, w, err := program.WiredJob(f.job, f.amend)
	if err != nil {
		return nil, err
	}
	q.region = parsed.Region
	return q, q.find(f, w, surroundings)
}

// find takes the circuit of the feed, in its surroundings.
func (q *question) find(f *flagged, w *wiring.Wiring, surroundings conductor.Circuit) error {
	var names []string
	for _, c := range w.Circuits() {
		if c.Feed.Name != f.feed {
			names = append(names, c.Feed.Name)
			continue
		}
		found, err := w.Question(c)
		if err != nil {
			return fmt.Errorf("%s: feed %q: %w", f.job, f.feed, err)
		}
		merged := surroundings
		merged.Load, merged.Volts, merged.Breaker, merged.Path, merged.Grounding = found.Load, found.Volts, found.Breaker, found.Path, found.Grounding
		merged.Material, merged.Construction, merged.Insulation, merged.Loop.Earth = found.Material, found.Construction, found.Insulation, found.Loop.Earth
		q.circuit, q.size = merged, c.Smallest
		q.note("The load is that of all its lights, all of it continuous: %s, each at its power factor, or at 1 where it states none.", c.Power)
		for _, route := range c.Routes {
			if !route.Complete {
				q.note("The way to the light %q and back is not known whole, so voltage drop is left out.", route.Light.Name)
			}
		}
		if f.anew {
			q.kind, q.circuit.Breaker, q.circuit.Grounding = sizeIt, 0, conductor.Size{}
		}
		return nil
	}
	return fmt.Errorf("%s: no feed %q; its feeds are: %s", f.job, f.feed, strings.Join(names, ", "))
}

// reader reads flags and keeps what is wrong with them.
type reader struct{ program.Mistakes }

// kind reads what is asked; at most one flag says.
func (r *reader) kind(f *flagged, q *question) {
	var asked []string
	for _, k := range []struct {
		name, text string
		kind       kind
	}{{"judge", f.judge, judgeIt}, {"largest-load", f.largestLoad, largestLoad}, {"longest-run", f.longestRun, longestRun}} {
		if k.text != "" {
			asked = append(asked, "-"+k.name)
			q.kind, q.size = k.kind, program.Value(&r.Mistakes, k.name, k.text, conductor.ParseSize)
		}
	}
	if f.leastForDrop {
		asked = append(asked, "-least-for-drop")
		q.kind = leastForDrop
	}
	if len(asked) > 1 {
		r.Add("", "%s are questions of their own; ask one at a time", strings.Join(asked, " and "))
	}
	if q.kind == judgeIt && f.breaker == "" {
		r.Add("breaker", "judging a circuit needs the rating of its overcurrent device")
	}
	if q.kind == leastForDrop && f.length == "" && f.path == "" {
		r.Add("length", "voltage drop needs a length")
	}
}

// load reads the load and the voltage it is taken at.
func (r *reader) load(f *flagged, c *conductor.Circuit) {
	c.Volts = program.Value(&r.Mistakes, "volts", f.volts, quantity.ParseVoltage)
	c.PowerFactor = program.Value(&r.Mistakes, "power-factor", f.powerFactor, quantity.ParseFactor)
	main := program.Value(&r.Mistakes, "load", f.load, func(text string) (quantity.Current, error) { return r.current(f, c, text) })
	c.Load.Other = program.Value(&r.Mistakes, "other-load", f.other, func(text string) (quantity.Current, error) { return r.current(f, c, text) })
	if f.continuous {
		c.Load.Continuous = main
	} else {
		c.Load.Other += main
	}
}

// current reads a current, or a power at the voltage given.
func (r *reader) current(f *flagged, c *conductor.Circuit, text string) (quantity.Current, error) {
	current, wrong := quantity.ParseCurrent(text)
	if wrong == nil {
		return current, nil
	}
	apparent, err := quantity.ParseApparentPower(text)
	if err != nil {
		power, err := quantity.ParsePower(text)
		if err != nil {
			return 0, wrong
		}
		factor := c.PowerFactor
		if factor == 0 {
			factor = quantity.Whole
		}
		if apparent, err = conductor.ApparentOf(power, factor); err != nil {
			return 0, err
		}
	}
	if c.Volts == 0 {
		return 0, fmt.Errorf("%q: a power needs -volts", text)
	}
	return conductor.CurrentOf(apparent, c.Volts, f.phases)
}

// surroundings reads what a job file does not say.
func (r *reader) surroundings(f *flagged, c *conductor.Circuit) {
	c.PowerFactor = program.Value(&r.Mistakes, "power-factor", f.powerFactor, quantity.ParseFactor)
	c.Terminations = program.Value(&r.Mistakes, "terminations", f.terminations, quantity.ParseTemperature)
	c.Ambient = program.Value(&r.Mistakes, "ambient", f.ambient, quantity.ParseTemperature)
	c.Bundle = conductor.Bundle{Carrying: f.carrying, Sealed: f.sealed, Length: program.Value(&r.Mistakes, "bundle-length", f.bundleLength, quantity.ParseLength)}
	c.Method = f.method
	c.Receptacles, c.LeastRating, c.LawOnly = f.receptacles, f.leastRating, f.lawOnly
	c.AtLeast = program.Value(&r.Mistakes, "at-least", f.atLeast, conductor.ParseSize)
	c.DropMethod = program.Value(&r.Mistakes, "drop-method", f.dropMethod, conductor.ParseDropMethod)
	c.Raceway = program.Value(&r.Mistakes, "raceway", f.raceway, conductor.ParseRaceway)
	c.DropUse = f.use
	c.DropLimit = program.Value(&r.Mistakes, "drop-limit", f.dropLimit, quantity.ParseRatio)
	c.Loop.External = program.Value(&r.Mistakes, "loop-external", f.loopExternal, quantity.ParseResistance)
	c.Loop.Curve = f.loopCurve
	c.Location = f.location
}
